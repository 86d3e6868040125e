/** For hands that hold a brush: the result is spoken, and the screen stays on while the bench is live. */
import type { BenchState } from './bench-state.ts';
import { resultToSpeak } from './spoken-result.ts';
import type { Store } from './store.ts';

/** What the browser offers; each may be missing. */
export interface Senses {
  readonly speech?: Pick<SpeechSynthesis, 'speak' | 'cancel'>;
  readonly utterance?: (text: string) => SpeechSynthesisUtterance;
  readonly wakeLock?: Pick<WakeLock, 'request'>;
}

export function browserSenses(): Senses {
  const { speechSynthesis, SpeechSynthesisUtterance: Utterance } = globalThis as Partial<
    typeof globalThis
  >;
  const { wakeLock } = navigator as Partial<Navigator>;
  return {
    ...(speechSynthesis && { speech: speechSynthesis }),
    ...(Utterance && {
      utterance: (text: string) => Object.assign(new Utterance(text), { lang: 'en' }),
    }),
    ...(wakeLock && { wakeLock }),
  };
}

export class HandsFree {
  readonly #store: Store<BenchState>;
  readonly #senses: Senses;
  #said = '';
  #awake: Promise<WakeLockSentinel | undefined> | undefined;

  constructor(store: Store<BenchState>, senses: Senses = browserSenses()) {
    this.#store = store;
    this.#senses = senses;
  }

  begin(): void {
    this.#store.addEventListener('change', this.#changed);
    // A screen that went dark gives its lock up; it is asked for again when the page is seen.
    document.addEventListener('visibilitychange', () => {
      this.#awake = undefined;
      this.#changed();
    });
    this.#changed();
  }

  #changed = () => {
    const { state } = this.#store;
    this.#keepAwake(state.feed.status === 'running' && state.feed.kind !== 'photo');
    this.#speak(state);
  };

  /** Once for each reading and refusal, when the next addition is known too. */
  #speak(state: BenchState): void {
    const text = resultToSpeak(state);
    if (text === undefined || text === this.#said) return;
    this.#said = text;
    const { speech, utterance } = this.#senses;
    if (!state.settings?.spoken || text === '' || !speech || !utterance) return;
    speech.cancel();
    speech.speak(utterance(text));
  }

  #keepAwake(isWanted: boolean): void {
    if (isWanted && !this.#awake && document.visibilityState === 'visible') {
      // Refused when the battery is low: the screen then goes dark as it always does.
      this.#awake = this.#senses.wakeLock?.request('screen').catch(() => undefined);
    } else if (!isWanted && this.#awake) {
      const held = this.#awake;
      this.#awake = undefined;
      void held.then((lock) => lock?.release());
    }
  }
}
