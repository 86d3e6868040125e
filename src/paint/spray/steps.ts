/** The order of work at the spray bench, for one area. Common practice, no source. */

export const STEP_KINDS = [
  'bind',
  'thin',
  'card',
  'stop-hollow',
  'mask',
  'mist',
  'coat',
  'check',
  'clean',
] as const;
export type StepKind = (typeof STEP_KINDS)[number];

export interface SprayStep {
  readonly kind: StepKind;
  /** Which coat, from 1; the mist coat is the first. */
  readonly coat?: number;
}

/**
 * Bind, thin, try on a card, stop a hollow, mask, mist, then coat by coat with a look between, clean.
 * @param coats in all, the mist coat among them, ≥ 1
 */
export function stepsOf(coats: number, hollow: boolean): readonly SprayStep[] {
  const before: readonly StepKind[] = [
    'bind',
    'thin',
    'card',
    ...(hollow ? (['stop-hollow'] as const) : []),
    'mask',
  ];
  const sprayed = Array.from({ length: coats }, (_, i): readonly SprayStep[] => [
    { kind: i === 0 ? 'mist' : 'coat', coat: i + 1 },
    { kind: 'check', coat: i + 1 },
  ]);
  return [...before.map((kind) => ({ kind })), ...sprayed.flat(), { kind: 'clean' }];
}
