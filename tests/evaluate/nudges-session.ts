/**
 * One closed loop: a restorer who doses by hand, reads dabs with the camera, and gives what is
 * suggested until the reading says it blends. Stopping is judged on the reading, success on the truth.
 */
import { deltaE00 } from '../../src/colour/ciede2000.ts';
import { labFromXyzD65, xyzD65FromLab } from '../../src/colour/cielab.ts';
import { labD65, xyzD65, type LabD65 } from '../../src/colour/spaces.ts';
import { POLICIES, type PolicyName, type SentRequest } from './nudge-baselines.ts';
import {
  CONDITIONS,
  handed,
  noisy,
  nudgeScene,
  readPalette,
  type Conditions,
} from './nudges-scene.ts';
import { randomFrom, type Random } from './paint-truth.ts';

export interface Step {
  readonly read: number;
  readonly truth: number;
  readonly potGrams: number;
  /** How often this dab was read; `read` is of the mean. */
  readonly readings: number;
  /** What was asked for after this reading; absent at the end. */
  additions?: Readonly<Record<string, number>>;
  /** It went into a new pot. */
  startsAgain?: boolean;
}

export interface Session {
  readonly family: string;
  readonly steps: readonly Step[];
  readonly ended: 'reads as blending' | 'nothing more suggested' | 'given up';
  /** Why nothing more was suggested, as the tool says it. */
  readonly reason?: string;
  /** True ΔE₀₀ below 1 at the end. */
  readonly success: boolean;
  readonly nudges: number;
  /** All paint that was mixed over that of the first pot. */
  readonly growth: number;
  /** How many true differences after a nudge lay inside the 95 % interval promised, of how many. */
  readonly covered: number;
  readonly promised: number;
  /** Answers that warned of a contradiction, though there was none beyond chance. */
  readonly warned: number;
}

export function session(
  seed: number,
  policy: PolicyName = 'the tool',
  conditions: Conditions = CONDITIONS,
): Session {
  const random = randomFrom(seed);
  const { family, box, glazeLab, ...first } = nudgeScene(random, conditions);
  let { pot, real } = first;
  const palette = readPalette(box, conditions, random);
  const { smallest, largestGrowth, readingSigma } = conditions;
  const history: NonNullable<SentRequest['history']>[number][] = [];
  const steps: Step[] = [];
  const firstGrams = massOf(pot);
  const light = conditions.lightSigma > 0 ? conditions.lightSigma * random.normal() : 0;
  const read = (lab: LabD65) => noisy(misjudged(lab, light), readingSigma, random);
  const readGlaze = () =>
    conditions.glaze === 'known' ? misjudged(glazeLab, light) : read(glazeLab);
  let glazeRead = readGlaze();
  const bench = () => ({ box, real, smallest, largestGrowth });
  const attemptNow = (dabLab: LabD65) => ({
    pot: { ...pot },
    dabLab,
    ...(conditions.history === 'dabs and glazes' ? { glazeLab: glazeRead } : {}),
  });
  const requestNow = (dabLab: LabD65): SentRequest => ({
    palette,
    pot: { ...pot },
    glazeLab: glazeRead,
    dabLab,
    ...(conditions.history === 'none' ? {} : { history: [...history] }),
    smallest,
    largestGrowth,
  });
  let interval: readonly [number, number] | undefined;
  let covered = 0;
  let promised = 0;
  let warned = 0;
  let thrownAway = 0;
  let ended: Session['ended'] = 'given up';
  let reason: string | undefined;
  for (;;) {
    const trueLab = box.labOf(real);
    let dabLab = read(trueLab);
    if (conditions.glaze === 'each time') glazeRead = readGlaze();
    const truth = deltaE00(glazeLab, trueLab);
    const shots = [{ dabLab, glazeLab: glazeRead }];
    while (conditions.readsAgain && stopsAt(...meanOf(shots), conditions, random)) {
      const request = requestNow(dabLab);
      if (!POLICIES[policy](request, random, conditions.follow, bench()).readAgain) break;
      history.push(attemptNow(dabLab));
      dabLab = read(trueLab);
      if (conditions.glaze === 'each time') glazeRead = readGlaze();
      shots.push({ dabLab, glazeLab: glazeRead });
    }
    const seen = meanOf(shots);
    const step: Step = {
      read: deltaE00(...seen),
      truth,
      potGrams: massOf(pot),
      readings: shots.length,
    };
    steps.push(step);
    if (interval) {
      promised++;
      if (truth >= interval[0] && truth <= interval[1]) covered++;
    }
    const stops = stopsAt(...seen, conditions, random);
    if (stops) ended = 'reads as blending';
    if (stops || steps.length > conditions.mostNudges) break;
    const choice = POLICIES[policy](requestNow(dabLab), random, conditions.follow, bench());
    if (choice.warned) warned++;
    const fresh = conditions.startsAgain ? choice.startAgain : undefined;
    const additions = fresh ?? choice.additions;
    if (!additions) {
      ended = 'nothing more suggested';
      reason = choice.reason;
      break;
    }
    history.push(attemptNow(dabLab));
    step.additions = additions;
    interval = fresh ? undefined : choice.interval95;
    if (fresh) {
      step.startsAgain = true;
      thrownAway += massOf(pot);
      history.length = 0;
      pot = {};
      real = {};
    }
    for (const [id, grams] of Object.entries(additions)) {
      pot[id] = (pot[id] ?? 0) + grams;
      real[id] = (real[id] ?? 0) + grams * handed(conditions.doseError, random);
    }
  }
  const last = steps[steps.length - 1]!;
  return {
    family,
    steps,
    ended,
    ...(reason === undefined ? {} : { reason }),
    success: last.truth < 1,
    nudges: steps.length - 1,
    growth: (thrownAway + last.potGrams) / firstGrams,
    covered,
    promised,
    warned,
  };
}

/** Glaze and dab as the mean of several shots has them. */
function meanOf(
  shots: readonly { readonly glazeLab: LabD65; readonly dabLab: LabD65 }[],
): [glaze: LabD65, dab: LabD65] {
  const mean = (of: 'glazeLab' | 'dabLab', axis: 0 | 1 | 2) =>
    shots.reduce((sum, shot) => sum + shot[of][axis], 0) / shots.length;
  const each = (of: 'glazeLab' | 'dabLab') => labD65(mean(of, 0), mean(of, 1), mean(of, 2));
  return [each('glazeLab'), each('dabLab')];
}

/** A colour read in more light than was reckoned with, by its ln. */
function misjudged(lab: LabD65, logLight: number): LabD65 {
  if (logLight === 0) return lab;
  const factor = Math.exp(logLight);
  const [X, Y, Z] = xyzD65FromLab(lab);
  return labFromXyzD65(xyzD65(factor * X, factor * Y, factor * Z));
}

/** Draws for the verdict on one reading. */
const DRAWS = 200;

function stopsAt(
  glaze: LabD65,
  dab: LabD65,
  { stop, readingSigma, glaze: glazeIs }: Conditions,
  random: Random,
): boolean {
  if (stop === 'nothing suggested') return false;
  if ('reads' in stop) return deltaE00(glaze, dab) <= stop.reads;
  const sigma = readingSigma * (glazeIs === 'known' ? 1 : Math.SQRT2);
  let within = 0;
  for (let draw = 0; draw < DRAWS; draw++) {
    if (deltaE00(glaze, noisy(dab, sigma, random)) <= stop.blendsAt) within++;
  }
  return within >= 0.95 * DRAWS;
}

const massOf = (pot: Readonly<Record<string, number>>) =>
  Object.values(pot).reduce((sum, grams) => sum + grams, 0);

/** A session in full, a line a reading. */
export function inFull({ family, steps, ended, reason }: Session): string {
  const lines = steps.map(({ read, truth, potGrams, readings, additions, startsAgain }) => {
    const added = Object.entries(additions ?? {})
      .map(([id, grams]) => `${id} ${Number(grams.toPrecision(3))} g`)
      .join(', ');
    return `  pot ${potGrams.toFixed(2)} g  reads ${read.toFixed(2)}${readings > 1 ? ` (mean of ${readings})` : ''}  (truth ${truth.toFixed(2)})  ${added && `${startsAgain ? 'starts again: ' : '+ '}${added}`}`;
  });
  return [`\n${family}: ${ended}${reason ? ` (${reason})` : ''}`, ...lines].join('\n');
}
