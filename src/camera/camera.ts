/** A real camera: which there are, opening one, holding its exposure and white balance still. */
import type { Feed, FeedEnd, FeedFailure } from './feed.ts';

export interface CameraDevice {
  readonly id: string;
  /** The device's own name; "Camera 1" until the person has allowed a camera once. */
  readonly label: string;
}

/** What came of a wish to hold a control still. */
export type Held =
  /** Held at its present value. */
  | 'held'
  /** The camera has no such control: nothing can be done in the browser. */
  | 'not-offered'
  /** It has the control but did not take the setting. */
  | 'refused';

export interface HeldControls {
  readonly exposure: Held;
  readonly whiteBalance: Held;
  readonly focus: Held;
  /** The track's settings as they are now. */
  readonly settings: MediaTrackSettings;
}

export interface Camera extends Feed {
  readonly kind: 'camera';
  readonly deviceId: string;
  /** True when the camera asked for was not there and another one was opened. */
  readonly substituted: boolean;
  /** Holds exposure, white balance and focus where they are now. Never fails. */
  hold(): Promise<HeldControls>;
  /** What of this is held now: a camera may let go by itself. Asks nothing of it. */
  stillHeld(before: HeldControls): HeldControls;
  /** Gives them back to the camera. */
  release(): Promise<void>;
}

/** The cameras of this device; empty where there are none or the browser gives no list. */
export async function listCameras(): Promise<readonly CameraDevice[]> {
  const devices = (await mediaDevices()?.enumerateDevices()) ?? [];
  return devices
    .filter((device) => device.kind === 'videoinput')
    .map((device, i) => ({ id: device.deviceId, label: device.label || `Camera ${i + 1}` }));
}

/** Calls back whenever a camera is plugged in or out, until the returned function is called. */
export function onCamerasChanged(changed: () => void): () => void {
  const devices = mediaDevices();
  devices?.addEventListener('devicechange', changed);
  return () => devices?.removeEventListener('devicechange', changed);
}

/**
 * Opens the camera asked for, or the rear one first. When the one asked for is no longer there,
 * another is opened and `substituted` says so.
 */
export async function openCamera(deviceId?: string): Promise<Camera | FeedFailure> {
  const devices = mediaDevices();
  if (!devices) return globalThis.isSecureContext ? UNSUPPORTED : INSECURE;
  try {
    return cameraOf(await devices.getUserMedia(wanted(deviceId)), false);
  } catch (error) {
    const failure = failureOf(error);
    if (deviceId === undefined || (failure.reason !== 'none' && failure.reason !== 'settings')) {
      return failure;
    }
  }
  try {
    return cameraOf(await devices.getUserMedia(wanted(undefined)), true);
  } catch (error) {
    return failureOf(error);
  }
}

function wanted(deviceId: string | undefined): MediaStreamConstraints {
  return {
    audio: false,
    video: {
      ...(deviceId === undefined
        ? { facingMode: { ideal: 'environment' } }
        : { deviceId: { exact: deviceId } }),
      width: { ideal: 1920 },
      height: { ideal: 1080 },
      frameRate: { ideal: 30 },
    },
  };
}

function cameraOf(stream: MediaStream, substituted: boolean): Camera {
  const track = stream.getVideoTracks()[0]!;
  const { deviceId = '', width = 0, height = 0 } = track.getSettings();
  let settle: (end: FeedEnd) => void = () => undefined;
  const ended = new Promise<FeedEnd>((resolve) => (settle = resolve));
  track.addEventListener('ended', () => settle('lost'), { once: true });
  return {
    ok: true,
    kind: 'camera',
    label: track.label || 'Camera',
    stream,
    width,
    height,
    deviceId,
    substituted,
    ended,
    stop() {
      track.stop();
      settle('stopped');
    },
    hold: () => hold(track),
    stillHeld: (before) => stillHeld(track, before),
    release: () => release(track),
  };
}

// W3C Image Capture: the controls a camera may offer, which TypeScript's DOM library leaves out.
type Control = 'exposureMode' | 'whiteBalanceMode' | 'focusMode';
type Value = 'exposureTime' | 'iso' | 'colorTemperature' | 'focusDistance';
type ControlSettings = Partial<Record<Control, string> & Record<Value, number>>;
type ControlCapabilities = Partial<Record<Control, string[]> & Record<Value, object>>;

async function hold(track: MediaStreamTrack): Promise<HeldControls> {
  const exposure = await holdOne(track, 'exposureMode', ['exposureTime', 'iso']);
  const whiteBalance = await holdOne(track, 'whiteBalanceMode', ['colorTemperature']);
  const focus = await holdOne(track, 'focusMode', ['focusDistance']);
  return { exposure, whiteBalance, focus, settings: track.getSettings() };
}

async function holdOne(
  track: MediaStreamTrack,
  control: Control,
  values: readonly Value[],
): Promise<Held> {
  const offered = capabilitiesOf(track);
  if (!offered[control]?.includes('manual')) return 'not-offered';
  const now = track.getSettings() as ControlSettings;
  const still: ControlSettings = { [control]: 'manual' };
  for (const value of values) {
    if (offered[value] && now[value] !== undefined) still[value] = now[value];
  }
  await apply(track, still);
  return (track.getSettings() as ControlSettings)[control] === 'manual' ? 'held' : 'refused';
}

function stillHeld(track: MediaStreamTrack, before: HeldControls): HeldControls {
  const settings = track.getSettings() as MediaTrackSettings & ControlSettings;
  const now = (control: Control, was: Held): Held => {
    if (was === 'not-offered') return was;
    return settings[control] === 'manual' ? 'held' : 'refused';
  };
  return {
    exposure: now('exposureMode', before.exposure),
    whiteBalance: now('whiteBalanceMode', before.whiteBalance),
    focus: now('focusMode', before.focus),
    settings,
  };
}

async function release(track: MediaStreamTrack): Promise<void> {
  const offered = capabilitiesOf(track);
  for (const control of ['exposureMode', 'whiteBalanceMode', 'focusMode'] as const) {
    if (offered[control]?.includes('continuous')) await apply(track, { [control]: 'continuous' });
  }
}

function capabilitiesOf(track: MediaStreamTrack): ControlCapabilities {
  // Not every browser has it.
  const asked = track as { getCapabilities?: () => MediaTrackCapabilities };
  return (asked.getCapabilities?.() ?? {}) as ControlCapabilities;
}

/** A camera may refuse what it offers (OverconstrainedError); the settings tell what it took. */
async function apply(track: MediaStreamTrack, settings: ControlSettings): Promise<void> {
  try {
    await track.applyConstraints({ advanced: [settings as MediaTrackConstraintSet] });
  } catch (error) {
    if (!(error instanceof Error || error instanceof DOMException)) throw error;
  }
}

/** Absent where the page is not served securely, whatever TypeScript's DOM library says. */
function mediaDevices(): MediaDevices | undefined {
  return (globalThis.navigator as { mediaDevices?: MediaDevices }).mediaDevices;
}

const BY_PHOTOGRAPH = 'You can go on with a photograph.';

const UNSUPPORTED: FeedFailure = {
  ok: false,
  reason: 'unsupported',
  message: 'This browser gives no access to a camera.',
  remedy: `Use a current browser. ${BY_PHOTOGRAPH}`,
};
const INSECURE: FeedFailure = {
  ok: false,
  reason: 'insecure',
  message: 'The browser keeps the camera closed because this page was not opened securely.',
  remedy: `Open it at its https address, or at 127.0.0.1 on this computer. ${BY_PHOTOGRAPH}`,
};

/** What getUserMedia meant (W3C Media Capture and Streams, § getUserMedia). */
function failureOf(error: unknown): FeedFailure {
  const name = (error as { name?: unknown } | undefined)?.name;
  switch (name) {
    case 'NotAllowedError':
    case 'SecurityError':
      return {
        ok: false,
        reason: 'denied',
        message: 'The camera may not be used: the browser or the system has it forbidden.',
        remedy: `Allow the camera beside the page's address, then try again. ${BY_PHOTOGRAPH}`,
      };
    case 'NotFoundError':
      return {
        ok: false,
        reason: 'none',
        message: 'No camera was found.',
        remedy: `Plug one in and try again. ${BY_PHOTOGRAPH}`,
      };
    case 'NotReadableError':
    case 'AbortError':
      return {
        ok: false,
        reason: 'in-use',
        message: 'The camera does not start: another program may be using it.',
        remedy: `Close the other program, or unplug the camera and plug it in again, then try again. ${BY_PHOTOGRAPH}`,
      };
    case 'OverconstrainedError':
      return {
        ok: false,
        reason: 'settings',
        message: 'The camera does not offer what was asked of it.',
        remedy: `Choose another camera. ${BY_PHOTOGRAPH}`,
      };
    default:
      return {
        ok: false,
        reason: 'failed',
        message: `The camera could not be opened (${error instanceof Error ? error.message : String(error)}).`,
        remedy: `Try again, or choose another camera. ${BY_PHOTOGRAPH}`,
      };
  }
}
