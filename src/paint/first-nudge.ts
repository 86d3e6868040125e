/** A nudge from nothing: what to put into an empty pot. */
import { deltaE00 } from '../colour/ciede2000.ts';
import { learn } from './belief.ts';
import { characterise, type Characterised } from './characterise.ts';
import { contradictionsOf } from './contradictions.ts';
import type { Believed } from './film.ts';
import type { LabD65 } from '../colour/spaces.ts';
import { compose } from './compose.ts';
import { dosedMixes, type DosedMix } from './dosed-mix.ts';
import { missing } from './gamut.ts';
import type { Judged } from './judge.ts';
import { inLight } from './light.ts';
import { SURFACE } from './kubelka-munk.ts';
import { expectedSquare, metricAt, spreadOfDeltaE00 } from './metric.ts';
import { notesOf } from './notes.ts';
import { FAR } from './plan.ts';
import { assumedFor, gramsById, readingsOf } from './standing.ts';
import { strengthsOf } from './strengths.ts';
import type { FirstMixRequest, NudgeAnswer, Strength, Suggestion } from './types.ts';
import { writtenAs } from './writing.ts';

/**
 * The mix nearest to the glaze for the wanted amount, and a simpler one that comes about as near, for
 * a checked request. A history teaches what the pigments are like. `growth` is 0: there is no pot yet.
 */
export function firstNudge(request: FirstMixRequest): NudgeAnswer {
  const { palette, glazeLab, amount } = request;
  const characterised = characterise(palette, SURFACE);
  const before = strengthsOf(palette, request.strengths);
  const readings = readingsOf(request);
  const belief =
    readings.length > 0
      ? learn(characterised, before, readings, SURFACE, assumedFor(request))
      : undefined;
  const strengths = belief?.strengths ?? before;
  // Spectra as the palette has them, strengths as learned: one mix is judged as it was found.
  const pigments = characterised.map(({ K, S }, p) => ({
    K,
    S,
    strength: Math.exp(strengths[p]!.logMean),
  }));
  const judge = judgeOfMix(request, characterised, strengths);
  // Mixes are reckoned in full light, as the palette was read; the glaze was read in the pots' light.
  const glaze = inLight(glazeLab, -(belief?.logLight ?? 0));
  const mixes = dosedMixes(palette, pigments, { glazeLab: glaze, amount, hand: request });
  const suggestions = mixes.map((mix): Suggestion => {
    const { preDiluted } = mix;
    const item = { ...judge(mix.grams), preDiluted };
    const spread = spreadOfDeltaE00(glazeLab, item.lab, item.covariance);
    const quantile = (p: number) => spread[Math.round(p * (spread.length - 1))]!;
    return {
      additions: gramsById(palette, item.additions),
      ...(preDiluted.length > 0 && { preDiluted }),
      predicted: {
        lab: item.lab,
        deltaE00: item.deltaE00,
        interval95: [
          Math.min(item.deltaE00, quantile(0.025)),
          Math.max(item.deltaE00, quantile(0.975)),
        ],
      },
      growth: 0,
      notes: [
        ...notesOf(request, (grams) => judge(grams).lab, item),
        ...ofLargerBatch(request, mix),
      ],
    };
  });
  const nearest = suggestions[0]!.predicted;
  return {
    ok: true,
    suggestions,
    ...(nearest.deltaE00 > FAR && { reason: whyFar(request, pigments, glaze, nearest) }),
    warnings: belief ? contradictionsOf(palette, belief.surprise, request.writing) : [],
    strengths: Object.fromEntries(
      palette.map(({ id }, p) => [id, Math.exp(strengths[p]!.logMean)]),
    ),
    learned: Object.fromEntries(palette.map(({ id }, p) => [id, strengths[p]!])),
  };
}

/** Why the nearest mix is far: the palette does not reach the glaze, or this hand's doses are too coarse. */
function whyFar(
  { glazeLab, amount, smallest, writing }: FirstMixRequest,
  pigments: readonly Believed[],
  inFullLight: LabD65,
  nearest: Suggestion['predicted'],
): string {
  const { number, grams } = writtenAs(writing);
  const off = `ΔE₀₀ ${number(nearest.deltaE00, 1)}`;
  const gamut = compose(pigments, inFullLight, 1e-6);
  if (gamut.deltaE00 > FAR) {
    return `the glaze lies outside what this palette mixes: nearest ${off}; ${missing(glazeLab, nearest.lab)} is missing`;
  }
  const scarcest = Math.min(...gamut.shares.filter((share) => share > 0));
  const enough = smallest / scarcest;
  const larger = enough <= LARGEST_BATCH ? `mix about ${grams(enough, 2)}, or ` : '';
  return `doses of ${grams(smallest)} are too coarse for ${grams(amount)}: nearest ${off}; ${larger}stir the strong pigments into white first, 1 : 10 to 1 : 50`;
}

/** A first batch larger than this, g, is no advice. */
const LARGEST_BATCH = 50;

/** From this much on, a batch is larger than was asked for, not only rounded. */
const LARGER = 1.1;

/** Why there is more of it than was asked for. */
function ofLargerBatch({ amount, writing }: FirstMixRequest, { mass }: DosedMix): string[] {
  if (mass < LARGER * amount) return [];
  const { grams } = writtenAs(writing);
  return [
    `makes ${grams(mass, 2)} in place of ${grams(amount)}: doses of this hand come nearer so`,
  ];
}

/** Judges a mix by what characterisation and learning tell of it, no dab of it being read. */
function judgeOfMix(
  request: FirstMixRequest,
  characterised: readonly Characterised[],
  strengths: readonly Strength[],
): (grams: Float64Array) => Judged {
  const { glazeLab } = request;
  const unread = { ...assumedFor(request), reading: 1e3 };
  const metric = metricAt(glazeLab);
  return (grams) => {
    const belief = learn(characterised, strengths, [{ grams, lab: glazeLab }], SURFACE, unread);
    const { lab, covariance } = belief.predict(new Float64Array(grams.length));
    const off = deltaE00(glazeLab, lab);
    const expected = off ** 2 + expectedSquare(metric, covariance);
    return { additions: grams, lab, covariance, deltaE00: off, expected, cost: expected };
  };
}
