/** A whole job once more under ids of its own: an imported job beside the one that is here already. */
import type { Bundle, BundleItem } from './bundle.ts';
import type { Id } from './ids.ts';
import type { AnyRecord } from './records.ts';

/**
 * The bundle with every id of the job, and of the palettes named, made new; what the records say of
 * each other follows. References to what is outside the bundle stay as they are.
 * @param jobKey the key of the new job
 * @param palettes for palettes that must not meet the one of the same id, their new ids
 */
export function copyOf(
  bundle: Bundle,
  jobKey: string,
  palettes: ReadonlyMap<string, Id<'palette'>> = new Map(),
): Bundle {
  const oldKey = bundle.job.id.slice('job/'.length);
  const moved = <I extends Id>(id: I): I => {
    const palette = palettes.get(id);
    if (palette) return palette as string as I;
    const [kind = '', ...keys] = id.split('/');
    const isOfJob = kind !== 'palette' && keys[0] === oldKey;
    return isOfJob ? ([kind, jobKey, ...keys.slice(1)].join('/') as I) : id;
  };
  const items = bundle.items.map(({ record, attachments }): BundleItem => ({
    record: withIds(record, moved),
    attachments,
  }));
  return {
    ...bundle,
    items,
    job: items.find(({ record }) => record.kind === 'job')!.record as Bundle['job'],
  };
}

function withIds(record: AnyRecord, moved: <I extends Id>(id: I) => I): AnyRecord {
  switch (record.kind) {
    case 'job':
      return { ...record, id: moved(record.id), title: `${record.title.slice(0, 190)} (copy)` };
    case 'area':
      return {
        ...record,
        id: moved(record.id),
        ...(record.palette && { palette: moved(record.palette) }),
        ...(record.matches && { matches: moved(record.matches) }),
      };
    case 'attempt':
      return { ...record, id: moved(record.id), palette: moved(record.palette) };
    case 'reading':
    case 'map':
      return {
        ...record,
        id: moved(record.id),
        ...(record.attempt && { attempt: moved(record.attempt) }),
      } as AnyRecord;
    case 'plan':
      return {
        ...record,
        id: moved(record.id),
        ...(record.attempt && { attempt: moved(record.attempt) }),
        ...(record.from && { from: moved(record.from) }),
        steps: record.steps.map((step) => ({
          ...step,
          ...(step.map && { map: moved(step.map) }),
          ...(step.reading && { reading: moved(step.reading) }),
        })),
      };
    case 'jar':
      return {
        ...record,
        id: moved(record.id),
        palette: moved(record.palette),
        ...(record.attempt && { attempt: moved(record.attempt) }),
      };
    case 'picture':
      return {
        ...record,
        id: moved(record.id),
        ...(record.area && { area: moved(record.area) }),
      };
    case 'piece':
    case 'palette':
      return { ...record, id: moved(record.id) } as AnyRecord;
    case 'settings':
      return record;
  }
}
