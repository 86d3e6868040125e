/** The two sheets of the shelf on a screen: what is left of a mix goes into a jar, some of a jar is taken. */
import { html, nothing, type ReactiveControllerHost } from 'lit';
import type { LabD65 } from '../../colour/spaces.ts';
import type { Jar } from '../../job/jar.ts';
import type { Attempt } from '../../job/records.ts';
import { paintWanted, type SprayPlan } from '../../job/spray-plan.ts';
import type { Done } from '../state/job-book.ts';
import './keep-jar.ts';
import './take-jar.ts';
import type { WorkLine } from './work-line.ts';

export interface JarsOf {
  /** Name of the area on the bench: what paint is taken for, and what its jar is labelled. */
  readonly area: string;
  /** What is in the pot, and its dab as read. */
  readonly mix: Attempt | undefined;
  readonly lab: LabD65 | undefined;
  /** The plan that is worked off, when one is. */
  readonly plan?: SprayPlan;
}

export class JarSheets {
  readonly #host: Pick<ReactiveControllerHost, 'requestUpdate'>;
  readonly #line: WorkLine;
  #keeping = false;
  #taking: Jar | undefined;

  /** @param line says what was done, and how it is undone */
  constructor(host: Pick<ReactiveControllerHost, 'requestUpdate'>, line: WorkLine) {
    this.#host = host;
    this.#line = line;
  }

  keep(): void {
    this.#open(true, undefined);
  }
  takeFrom(jar: Jar): void {
    this.#open(false, jar);
  }

  render({ area, mix, lab, plan }: JarsOf) {
    const close = () => this.#open(false, undefined);
    const done = ({ detail }: CustomEvent<Done>) => {
      close();
      void this.#line.attempt(() => {
        this.#line.say(detail);
        return Promise.resolve();
      });
    };
    return html`<lt-take-jar
        .jar=${this.#taking}
        .wanted=${plan ? paintWanted(plan) : 0}
        .what=${area}
        .plan=${plan?.id}
        @lt-close=${close}
        @lt-taken=${done}
      ></lt-take-jar>
      ${
        mix
          ? html`<lt-keep-jar
              .open=${this.#keeping}
              .mix=${mix}
              .label=${area}
              .lab=${lab}
              .plan=${plan}
              @lt-close=${close}
              @lt-kept=${done}
            ></lt-keep-jar>`
          : nothing
      }`;
  }

  #open(keeping: boolean, taking: Jar | undefined): void {
    this.#keeping = keeping;
    this.#taking = taking;
    this.#host.requestUpdate();
  }
}
