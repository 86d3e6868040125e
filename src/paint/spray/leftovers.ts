/** Jars on the shelf: which of them comes near a new glaze. */
import { deltaE00 } from '../../colour/ciede2000.ts';
import type { LabD65 } from '../../colour/spaces.ts';
import type { Thinner } from './thinning.ts';

/** The nearest first, with ΔE₀₀; at most `most` of them. */
export function nearestJars<J extends { readonly lab: LabD65 }>(
  jars: readonly J[],
  wanted: LabD65,
  most: number,
): readonly { readonly jar: J; readonly deltaE00: number }[] {
  return jars
    .map((jar) => ({ jar, deltaE00: deltaE00(jar.lab, wanted) }))
    .sort((a, b) => a.deltaE00 - b.deltaE00)
    .slice(0, most);
}

/** A water-borne mix spoils, a solvent-borne one skins over, bound and thinned sooner: common practice, no source. */
export function keepsForDays(thinner: Thinner, isThinned: boolean): number {
  if (isThinned) return thinner === 'water' ? 7 : 14;
  return thinner === 'water' ? 60 : 90;
}
