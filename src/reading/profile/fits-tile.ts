/** Whether a profile still holds for what the camera shows now. */
import type { TileLight } from '../tile.ts';
import type { CameraProfile } from './profile.ts';

/** Change of the white's channel ratios, ln, that another lamp or another balance makes. */
const OTHER_LIGHT = 0.25;

/**
 * A colour transform belongs to one lamp and one white balance. The tile tells whether they are what they
 * were: its red and blue light over green. And any profile belongs to its camera.
 * @param camera the camera the picture comes from, as the device names it; absent: not known
 * @returns warnings, none while it fits
 */
export function misfits(
  { name, camera: own, whiteLogRatios, colour }: CameraProfile,
  { linearRgb: [r, g, b] }: TileLight,
  camera?: string,
): readonly string[] {
  const warnings: string[] = [];
  if (camera !== undefined && camera !== own) {
    warnings.push(
      `The profile “${name}” was made for ${short(own)}, and this picture comes from ${short(camera)}: use the profile of this camera, or none.`,
    );
  }
  if (!colour) return warnings;
  const [red, blue] = [Math.log(r / g), Math.log(b / g)];
  if (Math.hypot(red - whiteLogRatios[0], blue - whiteLogRatios[1]) > OTHER_LIGHT) {
    warnings.push(
      `The tile looks otherwise than when the profile “${name}” was made: the lamp or the camera’s white balance has changed. Make it anew, or read without it.`,
    );
  }
  return warnings;
}

/** Some devices name themselves at length, and a warning is kept in one line. */
const short = (name: string): string => (name.length > 80 ? `${name.slice(0, 79)}…` : name);
