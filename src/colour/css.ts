/**
 * CSS for a colour measured under D65. Never CSS `lab()`: that is D50, and a D65 value put into it
 * comes out bluish. Whatever lies outside the screen's gamut, the browser maps.
 */
import { xyzD65FromLab } from './cielab.ts';
import type { LabD65 } from './spaces.ts';

/**
 * `color(xyz-d65 X Y Z)` of CSS Color 4, Y of white = 1, six decimals (far below one 8-bit code).
 * Throws a RangeError when a coordinate is not a finite number.
 */
export function cssColour(lab: LabD65): string {
  if (!lab.every(Number.isFinite)) {
    throw new RangeError(`a colour needs three finite numbers, not [${lab.join(', ')}]`);
  }
  const [X, Y, Z] = xyzD65FromLab(lab);
  return `color(xyz-d65 ${decimals(X)} ${decimals(Y)} ${decimals(Z)})`;
}

function decimals(value: number): string {
  return String(Number(value.toFixed(6)));
}
