/** The one thing to do next, in plain words. Pure: the bench shows it, a single pedal does it. */
import type { Area, Job, Piece } from '../../job/records.ts';
import { potOf, type BenchState } from './bench-state.ts';

export interface NextStep {
  readonly text: string;
  /** What the "next step" key does; nothing while the person must point or wait. */
  readonly action: 'read' | 'save' | 'added' | undefined;
}

const wait = (text: string): NextStep => ({ text, action: undefined });

export function nextStep(state: BenchState): NextStep {
  if (state.busy === 'reading') return wait('Reading. Hold still.');
  if (state.busy === 'saving') return wait('Saving.');
  if (Object.values(state.place ?? {}).some(({ deletedAt }: Area | Piece | Job) => deletedAt)) {
    return wait('This area is deleted. Bring it back, or choose another, under Jobs.');
  }
  return state.held ? afterReading(state) : beforeReading(state);
}

function beforeReading(state: BenchState): NextStep {
  const { feed, live } = state;
  if (feed.status === 'failed') return wait('There is no picture. Choose another under Picture.');
  if (feed.status === 'starting') return wait(`Starting: ${feed.label}.`);
  if (!state.dab) return wait('Tap the dab in the picture.');
  if (!state.glaze) return wait('Now tap sound glaze beside the dab.');
  if (typeof state.engine === 'object') return wait(state.engine.failed);
  if (state.engine === 'loading') return wait('One moment: the reading engine is loading.');
  if (!live) return wait('Looking at the picture. Hold still.');
  if (!live.tile) {
    return wait('No white tile found. Lay one beside the piece, or choose Tile and drag corners.');
  }
  if (live.moving) return wait('Something moves. Let the piece and the camera rest.');
  if (!live.result) return wait('Settling. Hold still.');
  if (!live.result.ok) {
    const [first] = live.result.refused;
    const remedy = first?.remedy ?? '';
    if (feed.kind !== 'photo') return { text: remedy, action: 'read' };
    // The same picture read again is refused again.
    const isPointing = first?.reason === 'dab-missing' || first?.reason === 'tile-missing';
    return wait(isPointing ? remedy : `${remedy} Then take another photograph.`);
  }
  return { text: 'Press Read to take the reading.', action: 'read' };
}

function afterReading(state: BenchState): NextStep {
  const { held, nudge } = state;
  if (!held!.saved) return { text: 'Save the reading.', action: 'save' };
  const chosen = nudge.suggestions[nudge.chosen];
  // A pedal pressed once too often must not record an addition that nobody needs.
  if (held!.result.verdict.acceptable === 'blends') {
    if (nudge.readAgain) {
      return wait('It blends: bind, thin, spray a test. To be sure, read both once more.');
    }
    return wait(
      chosen
        ? 'It blends: bind, thin, spray a test. To come nearer, add what stands below.'
        : 'It blends. Bind the paint, thin it, and spray a test before the piece.',
    );
  }
  if (!chosen && Object.keys(potOf(state)).length === 0) {
    return wait('Say what is in the pot, under Pot: then the next addition is suggested.');
  }
  if (!chosen)
    return { text: 'Wipe the dab off, correct the mix, dab again, then Read.', action: 'read' };
  return { text: 'Add the next addition, mix well, then press Added it.', action: 'added' };
}
