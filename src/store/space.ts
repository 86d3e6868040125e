/** Room on the disk: asked for, watched, and its end recognised. */

/** The part of the browser's StorageManager that is used; each may be missing. */
export type StorageRoom = Partial<Pick<StorageManager, 'persist' | 'persisted' | 'estimate'>>;

export interface Space {
  readonly usedBytes?: number;
  readonly quotaBytes?: number;
  /** True when the browser has promised not to clear the jobs by itself. */
  readonly persisted: boolean;
  /** True when the browser tells of the device no more than whole gibibytes, ten at most. */
  readonly roomHidden?: boolean;
  /** Said before the disk is full; absent while there is room. */
  readonly warning?: string;
}

const NEARLY_FULL = 0.9;
/** Some dozens of readings with their pictures. */
const LITTLE_LEFT = 20 * 2 ** 20;

/**
 * Against fingerprinting Chromium reports what is used plus the free room of the disk, rounded up to
 * whole gibibytes and ten at most (from memory; ten of them measured on a disk with 71 GB free).
 */
const HIDDEN_BY = 2 ** 30;

const mebibytes = (bytes: number) => `${Math.max(0, Math.round(bytes / 2 ** 20))} MB`;

export function roomWarning(usedBytes: number, quotaBytes: number): string | undefined {
  const left = quotaBytes - usedBytes;
  if (isHidden(left)) {
    return left > HIDDEN_BY
      ? undefined
      : 'Less than 1 GB is free on this device; the browser does not say how much. Export finished jobs and delete them here, or free space on the device.';
  }
  if (usedBytes < NEARLY_FULL * quotaBytes && left > LITTLE_LEFT) return undefined;
  return `Little room is left for jobs on this device: ${mebibytes(left)} of ${mebibytes(quotaBytes)}. Export finished jobs and delete them here, or free space on the device.`;
}

const isHidden = (left: number) => left > 0 && left % HIDDEN_BY === 0;

export async function spaceOf(room: StorageRoom | undefined): Promise<Space> {
  const persisted = (await room?.persisted?.()) ?? false;
  const estimate = await room?.estimate?.();
  if (estimate?.usage === undefined || estimate.quota === undefined) return { persisted };
  const { usage: usedBytes, quota: quotaBytes } = estimate;
  const warning = roomWarning(usedBytes, quotaBytes);
  const roomHidden = isHidden(quotaBytes - usedBytes);
  return {
    persisted,
    usedBytes,
    quotaBytes,
    roomHidden,
    ...(warning !== undefined && { warning }),
  };
}

/**
 * Whether the database failed because the disk or the quota is full. The browser's QuotaExceededError
 * reaches us by name, or as the reason that the database wraps it in.
 */
export function isFull(error: unknown): boolean {
  if (typeof error !== 'object' || error === null) return false;
  const { name, reason, message } = error as Partial<Record<string, unknown>>;
  return [name, reason, message].some(
    (text) => typeof text === 'string' && /quota|disk.?full|no space/i.test(text),
  );
}
