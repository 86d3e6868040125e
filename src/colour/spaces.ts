/**
 * What a colour is: a tuple of three numbers that carries its space in its type, so that one space
 * cannot be passed for another. Make one with the function of the same name.
 */
/** The mark exists in the type alone; at run time a colour is a plain tuple. */
type Triple<Name extends string> = readonly [number, number, number] & {
  readonly '~space': Name;
};

/** CIELAB of a surface, D65 white, CIE 1931 2° observer: [L*, a*, b*], L* in 0–100. */
export type LabD65 = Triple<'lab-d65'>;
/** CIE XYZ, D65 white with Y = 1, CIE 1931 2° observer. */
export type XyzD65 = Triple<'xyz-d65'>;
/** CIE XYZ under some other named or measured white, Y of that white = 1, CIE 1931 2° observer. */
export type Xyz = Triple<'xyz'>;
/** Linear-light RGB in 0–1, camera or sRGB primaries as the function that made it says. */
export type LinearRgb = Triple<'linear-rgb'>;

export const labD65 = (L: number, a: number, b: number): LabD65 => [L, a, b] as unknown as LabD65;
export const xyzD65 = (X: number, Y: number, Z: number): XyzD65 => [X, Y, Z] as unknown as XyzD65;
export const xyz = (X: number, Y: number, Z: number): Xyz => [X, Y, Z] as unknown as Xyz;
export const linearRgb = (r: number, g: number, b: number): LinearRgb =>
  [r, g, b] as unknown as LinearRgb;
