/** Numbers as they are typed at a bench: either decimal sign, either minus. */

/** NaN when it is no number, or when nothing is there. */
export function typedNumber(text: string): number {
  const plain = text.trim().replace(',', '.').replace('−', '-');
  return plain === '' ? Number.NaN : Number(plain);
}

/** A field of a form by its name. */
export function typedField(form: HTMLFormElement, name: string): string {
  const value = new FormData(form).get(name);
  return typeof value === 'string' ? value.trim() : '';
}
