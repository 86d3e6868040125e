/** What the screens reach beyond themselves, handed down by context. Elements never see them. */
import { createContext } from '@lit/context';
import type { BenchClient } from '../../link/bench-client.ts';
import type { BenchRecords } from './bench-records.ts';
import type { BenchSession } from './bench-session.ts';
import type { BenchState } from './bench-state.ts';
import type { Drafts } from './drafts.ts';
import type { HandOver } from './hand-over.ts';
import type { JobBook } from './job-book.ts';
import type { Mapping } from './mapping.ts';
import type { PhotoRoll } from './photo-roll.ts';
import type { Safekeeping } from './safekeeping.ts';
import type { Spraying } from './spraying.ts';
import type { Store } from './store.ts';
import type { Version } from './version.ts';

export interface Services {
  readonly store: Store<BenchState>;
  readonly session: BenchSession;
  readonly records: BenchRecords;
  readonly drafts: Drafts;
  readonly handOver: HandOver;
  readonly book: JobBook;
  readonly safekeeping: Safekeeping;
  readonly mapping: Mapping;
  /** Several photographs chosen at once. */
  readonly roll: PhotoRoll;
  readonly spraying: Spraying;
  readonly version: Version;
  /** Charts in photographs, for camera profiles. */
  readonly charts: Pick<BenchClient, 'readChart'>;
}

export const servicesContext = createContext<Services>(Symbol('services'));
