/** How the shots of a tone response are to be taken, and what is typed beside them. */
import type { ToneSubject } from '../../reading/profile/step-card.ts';
import type { StatedAs } from '../../reading/profile/tone-profile.ts';
import type { Varies } from '../state/tone-shots.ts';

export type Subject = ToneSubject['kind'];

export const HOW: Readonly<Record<`${Subject}-${Varies}`, string>> = {
  'tile-exposure':
    'Leave tile, lamp and camera where they are and take the tile in five exposure times or more, best a third of a stop apart, from just below clipping down to dark, aperture, ISO, white balance and everything else held. Photographs bring their times along.',
  'tile-distance':
    'Hold the exposure and move one small lamp away, straight, from where the tile is just below clipping: five distances or more, measured from lamp to tile. Light falls with the distance squared when the lamp is at least five times as far as it is wide and no other light is on.',
  'tile-nothing': 'The tile alone needs light that varies: choose exposure time or lamp distance.',
  'card-exposure':
    'Take the card in two exposure times or more with all else held, the brightest step just below clipping in the first: about 100, 75 and 50 hundredths of it. Its values need not be known.',
  'card-distance':
    'Hold the exposure and take the card with one small lamp at two distances or more, measured from lamp to card, no other light on. Its values need not be known.',
  'card-nothing':
    'Take the card once, the brightest step just below clipping; once more turned round evens out the lamp. Its values must be known.',
};
/** Said where the exposures were taken for marks. */
export const BY_MARKS =
  'The camera’s times are rounded, as 1/60 for 1/64 s: the curve is reckoned with what they stand for.';
export const UNIT: Readonly<Record<Varies, string>> = {
  exposure: 'Exposure time, s',
  distance: 'Lamp distance, cm',
  nothing: '',
};
export const AS_NAMES: Readonly<Record<StatedAs, string>> = {
  lightness: 'L*',
  density: 'density',
  reflectance: 'reflectance, %',
};
