/** Which screens there are, which of the four each belongs to, and what shows it. */
import { html, type TemplateResult } from 'lit';
import type { Route } from '../state/route.ts';

export const SCREENS = [
  ['bench', 'Bench'],
  ['jobs', 'Jobs'],
  ['palette', 'Palette'],
  ['settings', 'Settings'],
] as const;

/** Which of them a screen belongs to. */
export const WITHIN: Readonly<Record<Route['screen'], string>> = {
  bench: 'bench',
  pot: 'bench',
  film: 'bench',
  spray: 'bench',
  map: 'bench',
  record: 'bench',
  light: 'bench',
  lamps: 'bench',
  profile: 'bench',
  tone: 'bench',
  jobs: 'jobs',
  piece: 'jobs',
  palette: 'palette',
  shelf: 'palette',
  characterise: 'palette',
  settings: 'settings',
};

export function screenOf(route: Route): TemplateResult {
  switch (route.screen) {
    case 'bench':
      return html`<lt-bench></lt-bench>`;
    case 'jobs':
      return html`<lt-jobs></lt-jobs>`;
    case 'palette':
      return html`<lt-palette></lt-palette>`;
    case 'characterise':
      return html`<lt-characterise .pigment=${route.pigment}></lt-characterise>`;
    case 'pot':
      return html`<lt-pot-screen></lt-pot-screen>`;
    case 'spray':
      return html`<lt-spray></lt-spray>`;
    case 'shelf':
      return html`<lt-shelf></lt-shelf>`;
    case 'light':
      return html`<lt-light></lt-light>`;
    case 'lamps':
      return html`<lt-lamps></lt-lamps>`;
    case 'profile':
      return html`<lt-profile></lt-profile>`;
    case 'tone':
      return html`<lt-tone></lt-tone>`;
    case 'film':
      return html`<lt-film></lt-film>`;
    case 'settings':
      return html`<lt-settings></lt-settings>`;
    case 'map':
      return route.map
        ? html`<lt-map-record .map=${route.map}></lt-map-record>`
        : html`<lt-map></lt-map>`;
    case 'piece':
      return html`<lt-treatment .piece=${route.piece}></lt-treatment>`;
    case 'record':
      return html`<lt-reading .reading=${route.reading ?? ''}></lt-reading>`;
  }
}
