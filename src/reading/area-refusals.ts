/** The refusals of refusals.ts that are about a dab, in the words of a sprayed area. */
import type { Refusal } from './types.ts';

export const AREA_REFUSALS = {
  outside: {
    reason: 'dab-missing',
    message: 'The marked area does not lie whole inside the picture.',
    remedy: 'Mark the sprayed area again, or take the picture from further away.',
  },
  small: {
    reason: 'dab-small',
    message: 'The marked area is too small in the picture.',
    remedy: 'Come nearer, or mark all of the sprayed area.',
  },
  clipped: {
    reason: 'dab-clipped',
    message: 'Much of the sprayed area is too bright for the camera.',
    remedy: 'Lower the exposure, or turn the piece until the glare leaves the area.',
  },
  dark: {
    reason: 'dab-dark',
    message: 'Much of the sprayed area is so dark in this picture that noise rules.',
    remedy: 'Raise the exposure, or bring the lamp nearer.',
  },
  glare: {
    reason: 'dab-highlight',
    message:
      'Much of the sprayed area is far brighter than the glaze, as where a lamp is mirrored.',
    remedy: 'Turn the piece, or move the lamp a little, until the glare leaves the area.',
  },
  noGlaze: {
    reason: 'ring-unusable',
    message: 'There is too little sound glaze round the marked area.',
    remedy:
      'Show more of the piece round it, free of glare, and point at a patch of the glaze it should look like.',
  },
  uneven: {
    reason: 'ring-unusable',
    message:
      'The glaze round the marked area is not of one colour in this light: something is mirrored in it, or it is not one glaze.',
    remedy:
      'Screen lamps and coloured things with grey card, turn the piece, or mark an area with even glaze round it.',
  },
  restless: {
    reason: 'ring-unusable',
    message:
      'The sound glaze itself differs from place to place more than paint may: by its pattern, or by noise in the picture.',
    remedy:
      'Come nearer, use more light or let more frames settle; a glaze with a pattern needs the eye.',
  },
} as const satisfies Record<string, Refusal>;
