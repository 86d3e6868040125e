/** Whether a profile still holds for what the camera shows now. */
import type { TileLight } from '../tile.ts';
import type { CameraProfile } from './profile.ts';

/** Change of the white's channel ratios, ln, that another lamp or another balance makes. */
const OTHER_LIGHT = 0.25;

/**
 * A colour transform belongs to one lamp and one white balance. The tile tells whether they are what they
 * were: its red and blue light over green.
 * @returns a warning, or undefined while it fits
 */
export function misfit(
  { name, whiteLogRatios, colour }: CameraProfile,
  { linearRgb: [r, g, b] }: TileLight,
): string | undefined {
  if (!colour) return undefined;
  const [red, blue] = [Math.log(r / g), Math.log(b / g)];
  const off = Math.hypot(red - whiteLogRatios[0], blue - whiteLogRatios[1]);
  return off > OTHER_LIGHT
    ? `The tile looks otherwise than when the profile “${name}” was made: the lamp or the camera’s white balance has changed. Make it anew, or read without it.`
    : undefined;
}
