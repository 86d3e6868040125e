/** What the rest of the house uses of paint. The solver itself runs in the paint worker. */
export { genericPalette, genericPigment, GENERIC_NAMES } from './generic-pigments.ts';
export { hazardOf, type Hazard } from './hazards.ts';
export { COMPLETE_HIDING, contrastRatioOf, labOverGround, thicknessToHide } from './hiding.ts';
export { calibrateDose, GRAM, inUnit, potAfter, potMass, type DoseUnit } from './pot.ts';
export { predictMix, pull } from './predict.ts';
export { characterisationsOf, type Characterisation } from './quality.ts';
export { checkNudgeRequest, faultOfPalette } from './request.ts';
export type * from './types.ts';
