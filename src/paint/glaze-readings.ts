/** One glaze read beside many dabs: what its readings say of each shot's error. */
import { labD65, type LabD65 } from '../colour/spaces.ts';

/** A dab, and how the glaze read in the same shot, if it did. */
export interface Shot {
  readonly dabLab: LabD65;
  readonly glazeLab?: LabD65 | undefined;
}

/**
 * The dabs as if all had been read in the last shot's light, against a glaze that is exactly as it
 * reads there. The last shot has its glaze; shots without one are left as they are.
 *
 * A shot's error has a part of its own and a part that glaze and dab share (the lamp, the exposure).
 * The glaze stays the same, so the scatter of its readings beyond `sigma`, the error of one reading
 * on each axis, is the shared part: that share of a glaze's departure from the mean is taken off its
 * dab (the shrinkage of W. James, C. Stein 1961). What is left of the last glaze's departure is its
 * own error, by which every dab is moved the other way.
 */
export function againstOneGlaze(shots: readonly Shot[], sigma: number): LabD65[] {
  const last = shots.at(-1)!.glazeLab!;
  const glazes = shots.flatMap(({ glazeLab }) => (glazeLab ? [glazeLab] : []));
  if (glazes.length < 2) return shots.map(({ dabLab }) => dabLab);
  const mean = [0, 1, 2].map(
    (axis) => glazes.reduce((sum, lab) => sum + lab[axis]!, 0) / glazes.length,
  );
  const scatter =
    glazes.reduce(
      (sum, lab) => sum + lab.reduce((s, v, axis) => s + (v - mean[axis]!) ** 2, 0),
      0,
    ) /
    (3 * (glazes.length - 1));
  const shared = scatter > 0 ? Math.max(0, 1 - sigma ** 2 / scatter) : 0;
  return shots.map(({ dabLab, glazeLab }) => {
    const at = (axis: 0 | 1 | 2) => {
      const own = (glazeLab?.[axis] ?? mean[axis]!) - mean[axis]!;
      return dabLab[axis] - shared * own + (last[axis] - mean[axis]!);
    };
    return labD65(at(0), at(1), at(2));
  });
}
