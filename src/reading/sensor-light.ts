/** What is known of a picture's tones: from the camera's profile, or because no camera bent them. */
import { SRGB_CURVE, type CameraProfile } from './profile/profile.ts';
import type { EncodedPicture, ReadingSettings } from './types.ts';

/** A raw picture's codes follow the light as sRGB says, for certain; of its colours nothing more is known. */
const SENSOR: CameraProfile = {
  name: 'camera raw',
  camera: '',
  madeOn: '',
  tone: [SRGB_CURVE, SRGB_CURVE, SRGB_CURVE],
  whiteLogRatios: [0, 0],
};

/**
 * @param taken encoded as sRGB says, or as the profile's tone response does
 * @returns the picture with its tone, and the settings by which its uncertainty is judged
 */
export function withTone(
  taken: EncodedPicture,
  settings: ReadingSettings,
): { readonly picture: EncodedPicture; readonly settings: ReadingSettings } {
  const { profile } = settings;
  if (taken.light === 'sensor') {
    return { picture: taken, settings: { ...settings, profile: profile ?? SENSOR } };
  }
  return { picture: profile ? { ...taken, tone: profile.tone } : taken, settings };
}
