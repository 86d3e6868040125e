/** Quantities that carry their unit in their type: a millilitre cannot be handed over for a gram. */

declare const unit: unique symbol;
export type Quantity<Unit extends string> = number & { readonly [unit]: Unit };
export type SquareCentimetres = Quantity<'cm²'>;
export type Millilitres = Quantity<'ml'>;
export type Grams = Quantity<'g'>;
export type Micrometres = Quantity<'µm'>;

export const squareCentimetres = (value: number) => value as SquareCentimetres;
export const millilitres = (value: number) => value as Millilitres;
export const grams = (value: number) => value as Grams;
export const micrometres = (value: number) => value as Micrometres;

/** A field at fault: which, and what is wrong with it in the person's words. */
export interface FieldFault<Field extends string> {
  readonly field: Field;
  readonly message: string;
}
