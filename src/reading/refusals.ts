/** What a reading that cannot be trusted says, and what to do about it. Never a number. */
import type { Refusal, RefusalReason } from './types.ts';

const TEXT: Record<RefusalReason, readonly [message: string, remedy: string]> = {
  'tile-missing': [
    'No white tile was found in the picture, or it is not clear which thing is the tile.',
    'Put the plain white tile beside the piece, whole in the picture, or drag its corners.',
  ],
  'tile-clipped': [
    'The tile is too bright: the camera cannot see how white it is.',
    'Lower the exposure, or move the lamp back, until the tile reads 75–90 %.',
  ],
  'tile-dark': [
    'The tile is too dark for a reading.',
    'Raise the exposure, or bring the lamp nearer, until the tile reads 75–90 %.',
  ],
  'tile-uneven': [
    'The tile is not evenly lit, or something lies on it.',
    'Clear the tile, wipe it, and turn it so that the lamp is not mirrored in it.',
  ],
  'tile-covers': [
    'The outline of the tile lies over the dab or the glaze.',
    'Drag its corners to those of the tile, or say that the dab lies beside the piece.',
  ],
  'dab-clipped': [
    'Part of the dab is too bright for the camera.',
    'Lower the exposure, or turn the piece until the dab has no glare.',
  ],
  'dab-dark': [
    'The dab is so dark in this picture that noise rules.',
    'Raise the exposure until the tile reads 75–90 %, or bring the lamp nearer.',
  ],
  'dab-highlight': [
    'The lamp is mirrored on the dab.',
    'Turn the piece, or move the lamp a little, until the glare leaves the dab. If there is none, lay a dab with a firm edge.',
  ],
  'dab-missing': [
    'No dab could be read where you pointed.',
    'Point at the middle of the dab; it must lie whole inside the picture.',
  ],
  'dab-small': [
    'The dab is too small in the picture.',
    'Come nearer, or make the dab larger: 20 pixels across at least.',
  ],
  'ring-unusable': [
    'There is too little sound glaze round the dab.',
    'Put the dab where glaze of the same colour surrounds it, away from edges, bands and glare.',
  ],
  'glaze-clipped': [
    'The glaze round the dab is too bright for the camera.',
    'Lower the exposure, or turn the piece until the glare moves away.',
  ],
  'coloured-reflection': [
    'Something coloured is mirrored in the glaze round the dab.',
    'Take coloured things away from the piece, or screen them with grey card.',
  ],
  moving: ['The picture is moving.', 'Rest the camera and the piece, and hold still for a second.'],
  'lamp-changed': [
    'The light on the tile changed during the reading.',
    'Wait until the lamp is steady, keep daylight out, and read again.',
  ],
  'picture-small': [
    'The picture is too small.',
    'Use a picture of at least 320 by 240 pixels, with dab and tile well inside.',
  ],
  'picture-grey': [
    'The picture is black and white: it holds no colours.',
    'Set the camera to colour, or open the picture as it was taken, and read again.',
  ],
  'picture-blurred': [
    'The picture is too blurred: dab and glaze run into each other.',
    'Focus on the dab, rest the camera, and read again.',
  ],
};

export function refusal(reason: RefusalReason): Refusal {
  const [message, remedy] = TEXT[reason];
  return { reason, message, remedy };
}
