/** How an area was sprayed, as lines of the treatment record. */
import { html, nothing } from 'lit';
import { coatsDone, type SprayPlan } from '../../job/spray-plan.ts';
import { formatExact, formatGrams, formatNumber, formatTime } from '../elements/numbers.ts';
import { shapeInWords, stepName } from '../state/spray-words.ts';

export function sprayedLines(area: string, plan: SprayPlan) {
  const { brush } = plan;
  const done = plan.steps.filter(({ at }) => at !== undefined);
  return html`<h4>Spraying of the ${area}</h4>
    <p>
      ${formatNumber(plan.areaCm2, 1)} cm² (${shapeInWords(plan)}); ${coatsDone(plan)} of
      ${plan.coats} coats of ${formatExact(plan.dryFilmMicrometres)} µm; paint
      ${formatGrams(plan.paintGrams)} (${formatGrams(plan.range[0])} to
      ${formatGrams(plan.range[1])}), of it clear medium ${formatGrams(plan.mediumGrams)}
      (${formatExact(plan.mediumPercent)} %); ${brush.thinner} ${formatNumber(plan.thinnerMl, 2)}
      ml${
        brush.cup && brush.cupSeconds !== undefined
          ? `, ${formatExact(brush.cupSeconds)} s from ${brush.cup}`
          : ''
      };
      ${brush.name}, nozzle ${formatExact(brush.nozzleMm)} mm, ${formatExact(brush.pressureBar)}
      bar, ${formatExact(brush.distanceMm)} mm off.
      ${plan.fromShelf?.map((one) => `${formatGrams(one.grams)} from the jar ${one.label}. `)}
    </p>
    ${
      done.length === 0
        ? nothing
        : html`<ul>
            ${done.map(
              (step) =>
                html`<li>
                  ${stepName(step)}:
                  ${formatTime(step.at!)}${step.note ? `; ${step.note}` : ''}${
                    step.map ? '; blend map taken' : ''
                  }${step.reading ? '; dab read' : ''}
                </li>`,
            )}
          </ul>`
    }`;
}
