import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { listCameras, openCamera } from '../../src/camera/camera.ts';

/** As much of a track as a camera uses. */
class FakeTrack extends EventTarget {
  readonly label = 'Bench camera';
  readyState = 'live';
  settings: Record<string, unknown> = { deviceId: 'bench', width: 1920, height: 1080 };
  capabilities: Record<string, unknown> = {};
  readonly asked: object[] = [];
  /** A camera may refuse what it offers. */
  refuses = false;

  getSettings() {
    return this.settings;
  }
  getCapabilities() {
    return this.capabilities;
  }
  applyConstraints({ advanced }: { advanced: object[] }) {
    this.asked.push(...advanced);
    if (this.refuses) return Promise.reject(named('OverconstrainedError'));
    Object.assign(this.settings, ...advanced);
    return Promise.resolve();
  }
  stop() {
    this.readyState = 'ended';
  }
}

const named = (name: string) => Object.assign(new Error(`${name}, said the browser`), { name });
const getUserMedia = vi.fn<(wanted: MediaStreamConstraints) => Promise<unknown>>();
let track: FakeTrack;

beforeEach(() => {
  track = new FakeTrack();
  getUserMedia.mockReset();
  getUserMedia.mockResolvedValue({ getVideoTracks: () => [track] });
  vi.stubGlobal('isSecureContext', true);
  vi.stubGlobal('navigator', {
    mediaDevices: {
      getUserMedia,
      enumerateDevices: () =>
        Promise.resolve([
          { kind: 'audioinput', deviceId: 'mic', label: 'Microphone' },
          { kind: 'videoinput', deviceId: 'a', label: '' },
          { kind: 'videoinput', deviceId: 'b', label: 'Rear camera' },
        ]),
    },
  });
});
afterEach(() => vi.unstubAllGlobals());

const wanted = (call: number) => getUserMedia.mock.calls[call]![0].video as MediaTrackConstraints;

describe('opening a camera', () => {
  test('the rear one first, at full HD, and never the microphone', async () => {
    const camera = await openCamera();
    expect(camera).toMatchObject({ ok: true, label: 'Bench camera', width: 1920, height: 1080 });
    expect(wanted(0).facingMode).toEqual({ ideal: 'environment' });
    expect(getUserMedia.mock.calls[0]![0].audio).toBe(false);
  });

  test('the one asked for', async () => {
    await openCamera('b');
    expect(wanted(0).deviceId).toEqual({ exact: 'b' });
    expect(wanted(0).facingMode).toBeUndefined();
  });

  // W3C Media Capture and Streams, § 10.2, the errors of getUserMedia().
  test.each([
    ['NotAllowedError', 'denied'],
    ['SecurityError', 'denied'],
    ['NotFoundError', 'none'],
    ['NotReadableError', 'in-use'],
    ['AbortError', 'in-use'],
    ['OverconstrainedError', 'settings'],
    ['TypeError', 'failed'],
  ])('%s: %s, with a clear line and a way on', async (name, reason) => {
    getUserMedia.mockRejectedValue(named(name));
    const failure = await openCamera();
    expect(failure).toMatchObject({ ok: false, reason });
    if (failure.ok) return;
    expect(failure.message).toMatch(/camera/i);
    expect(failure.remedy).toMatch(/photograph/);
  });

  test.each(['OverconstrainedError', 'NotFoundError'])(
    'the one asked for is no longer there (%s): another is opened, and it is said',
    async (name) => {
      getUserMedia.mockRejectedValueOnce(named(name));
      expect(await openCamera('gone')).toMatchObject({ ok: true, substituted: true });
      expect(wanted(1).deviceId).toBeUndefined();
    },
  );

  test('denied is denied: no other camera is tried', async () => {
    getUserMedia.mockRejectedValue(named('NotAllowedError'));
    expect(await openCamera('b')).toMatchObject({ reason: 'denied' });
    expect(getUserMedia).toHaveBeenCalledTimes(1);
  });

  test('a page that was not opened securely has no camera to ask', async () => {
    vi.stubGlobal('navigator', {});
    expect(await openCamera()).toMatchObject({ ok: false, reason: 'unsupported' });
    vi.stubGlobal('isSecureContext', false);
    expect(await openCamera()).toMatchObject({ ok: false, reason: 'insecure' });
    expect(await listCameras()).toEqual([]);
  });

  test('cameras are listed by name, or by number until they may be named', async () => {
    expect(await listCameras()).toEqual([
      { id: 'a', label: 'Camera 1' },
      { id: 'b', label: 'Rear camera' },
    ]);
  });

  test('unplugged in mid-reading: lost; stopped by the person: stopped', async () => {
    const one = await openCamera();
    track.dispatchEvent(new Event('ended'));
    expect(one.ok && (await one.ended)).toBe('lost');
    track = new FakeTrack();
    const two = await openCamera();
    if (!two.ok) throw new Error('not opened');
    two.stop();
    expect(await two.ended).toBe('stopped');
    expect(track.readyState).toBe('ended');
  });
});

// Names and values of the controls: W3C MediaStream Image Capture, §§ 4 and 5.
describe('holding a camera’s controls', () => {
  const offered = {
    exposureMode: ['continuous', 'manual'],
    exposureTime: { min: 1, max: 10_000 },
    whiteBalanceMode: ['continuous', 'manual'],
    colorTemperature: { min: 2800, max: 6500 },
    focusMode: ['continuous'],
  };

  test('where they are now, each by itself', async () => {
    track.capabilities = offered;
    Object.assign(track.settings, { exposureTime: 333, colorTemperature: 4100, iso: 100 });
    const camera = await openCamera();
    if (!camera.ok) throw new Error('not opened');
    const held = await camera.hold();
    expect(held).toMatchObject({ exposure: 'held', whiteBalance: 'held', focus: 'not-offered' });
    expect(track.asked).toEqual([
      { exposureMode: 'manual', exposureTime: 333 },
      { whiteBalanceMode: 'manual', colorTemperature: 4100 },
    ]);
    await camera.release();
    expect(track.settings).toMatchObject({
      exposureMode: 'continuous',
      whiteBalanceMode: 'continuous',
    });
  });

  test('a camera that refuses what it offers: said, and nothing breaks', async () => {
    track.capabilities = offered;
    track.refuses = true;
    const camera = await openCamera();
    if (!camera.ok) throw new Error('not opened');
    expect(await camera.hold()).toMatchObject({ exposure: 'refused', whiteBalance: 'refused' });
    await camera.release();
  });

  test('a camera with no controls at all', async () => {
    const camera = await openCamera();
    if (!camera.ok) throw new Error('not opened');
    expect(await camera.hold()).toMatchObject({
      exposure: 'not-offered',
      whiteBalance: 'not-offered',
      focus: 'not-offered',
    });
    expect(track.asked).toEqual([]);
  });
});
