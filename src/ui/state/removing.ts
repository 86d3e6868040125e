/** A saved reading or blend map is deleted from a screen of its own. */
import type { Id } from '../../job/ids.ts';
import type { Services } from './services.ts';

/** The bench is shown then; its notice says `text`, and takes it back. */
export async function removeSaved(
  { records, store }: Pick<Services, 'records' | 'store'>,
  id: Id<'reading'> | Id<'map'>,
  text: string,
): Promise<void> {
  const restore = await records.remove(id);
  const { readings } = store.state;
  const undo = async () => {
    await restore();
    // What was saved since stays.
    store.set(({ readings: now }) => ({
      readings: [
        ...readings,
        ...now.filter(({ record }) => !readings.some((one) => one.record.id === record.id)),
      ],
      notice: undefined,
    }));
  };
  store.set({
    readings: readings.filter(({ record }) => record.id !== id),
    notice: { text, undo },
  });
  location.hash = '#/bench';
}
