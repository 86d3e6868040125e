/** The way in numbers, for reading aloud and for names that are longer than the picture has room for. */
import { html, nothing } from 'lit';
import { deltaE00 } from '../../../colour/ciede2000.ts';
import type { LabD65 } from '../../../colour/spaces.ts';
import { formatGrams, formatNumber } from '../numbers.ts';
import { pullInWords, pullOfLength } from './geometry.ts';
import type { AttemptOnPath } from './picture.ts';
import type { PullOnPath } from './pulls.ts';

export function inNumbers(
  glaze: LabD65,
  attempts: readonly AttemptOnPath[],
  predicted: LabD65 | undefined,
  pulls: readonly PullOnPath[],
  /** The pulls as the picture names them. */
  shown: readonly string[],
) {
  const row = (name: string, lab: LabD65) =>
    html`<tr>
      <th scope="row">${name}</th>
      ${lab.map((value) => html`<td>${formatNumber(value, 1)}</td>`)}
      <td>${lab === glaze ? '' : formatNumber(deltaE00(glaze, lab), 1)}</td>
    </tr>`;
  return html`<details>
    <summary>The same in numbers</summary>
    <div class="scroll">
      <table>
        <caption>
          The way so far
        </caption>
        <thead>
          <tr>
            ${['dab', 'L*', 'a*', 'b*', 'ΔE₀₀'].map((name) => html`<th scope="col">${name}</th>`)}
          </tr>
        </thead>
        <tbody>
          ${row('glaze', glaze)} ${attempts.map(({ number, lab }) => row(`attempt ${number}`, lab))}
          ${predicted ? row('predicted', predicted) : nothing}
        </tbody>
      </table>
      ${
        pulls.length > 0
          ? html`<table>
              <caption>
                Where each paint pulls from here
              </caption>
              <tbody>
                ${pulls.map((pull, index) => pullRow(pull, shown[index]!))}
              </tbody>
            </table>`
          : nothing
      }
    </div>
  </details>`;
}

function pullRow({ code, name, perGram }: PullOnPath, shown: string) {
  const pull = pullOfLength(perGram, 1);
  if (!pull) return nothing;
  return html`<tr>
    <th scope="row" class="paint">${shown === code ? name : `${shown}: ${name}`}</th>
    <td>${pullInWords([pull.L, pull.a, pull.b])}</td>
    <td>one unit a ${formatGrams(pull.grams)}</td>
  </tr>`;
}

/** The picture in one sentence. */
export function pathInWords(
  glaze: LabD65,
  attempts: readonly AttemptOnPath[],
  predicted: LabD65 | undefined,
): string {
  const off = (lab: LabD65) => formatNumber(deltaE00(glaze, lab), 1);
  const way = attempts.map(({ number, lab }) => `attempt ${number} ${off(lab)}`).join(', ');
  const next = predicted ? `; predicted next ${off(predicted)}` : '';
  return `The way towards the glaze, ΔE₀₀: ${way}${next}. The same stands in numbers below.`;
}
