/** Prints the figures as a table a person can read. */
import { covered, STRATUM_FLOOR, type Figure, type StratumLine } from './figures.ts';
import type { SceneOutcome } from './one-scene.ts';

export function table(rows: readonly (readonly string[])[]): string {
  const widths = rows[0]!.map((_, i) => Math.max(...rows.map((row) => (row[i] ?? '').length)));
  return rows
    .map((row) =>
      row
        .map((cell, i) => cell + ' '.repeat(widths[i]! - cell.length))
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
}

export function figureTable(figures: readonly Figure[]): string {
  return table([
    ['figure', 'reach', 'got', 'patch means', 'camera alone', 'told all but noise', ''],
    ...figures.map((f) => [
      f.name,
      f.reach,
      f.got,
      f.baseline,
      f.camera ?? '',
      f.told ?? '',
      f.reached === undefined ? '' : f.reached ? 'reached' : 'NOT REACHED',
    ]),
  ]);
}

export function strataTable(lines: readonly StratumLine[]): string {
  const number = (v: number) => (Number.isNaN(v) ? '–' : v.toFixed(2));
  return table([
    ['stratum', '', 'scenes', 'refused', 'covered', 'error mean', '95th', 'half-width', ''],
    ...lines.map((l) => [
      l.stratum,
      l.value,
      String(l.scenes),
      String(l.refused),
      Number.isNaN(l.coverage) ? '–' : `${(100 * l.coverage).toFixed(1)} %`,
      number(l.meanError),
      number(l.p95Error),
      number(l.medianHalfWidth),
      l.answered >= 10 && l.coverage < STRATUM_FLOOR ? 'BELOW 90 %' : '',
    ]),
  ]);
}

const lab = (v: readonly number[]) => v.map((x) => x.toFixed(2)).join(' ');

export function outcomeLine(o: SceneOutcome): string {
  const s = o.strata;
  const what = `${s['shape']}, ${s['glaze']}, L* ${o.true.glazeLab[0].toFixed(0)}, ${s['dab across']}, highlight ${s['highlight']}, ${s['finish']}, ${s['pigments']} pigments, ${s['band']}, ${s['lamp']}, ${s['camera style']} ${s['camera']}, ${s['codec']}, tile ${o.tileFound}, ${o.kind}`;
  const read = o.answer
    ? `read ${o.answer.deltaE00.toFixed(2)} [${o.answer.interval95.map((v) => v.toFixed(2)).join(', ')}]${covered(o) ? '' : ' MISSED'}, Δ ${lab(o.answer.lab)} against ${lab(o.true.lab)}, error ${o.answer.error.toFixed(2)} (camera alone ${o.cameraError?.toFixed(2) ?? '–'}); ${o.answer.shares}`
    : `refused: ${o.refused.join(', ')}`;
  return `seed ${o.seed}: true ${o.true.deltaE00.toFixed(2)}, ${read}\n    ${what}`;
}
