/** The tool's own pictures: strokes in the colour of the text, 24 × 24, never a hue. */
import { svg, html, type TemplateResult } from 'lit';
import type { Verdict } from '../../reading/types.ts';

const picture = (content: TemplateResult, size: number): TemplateResult => html`
  <svg
    width=${size}
    height=${size}
    viewBox="0 0 24 24"
    fill="none"
    stroke="currentColor"
    stroke-width="2"
    stroke-linecap="round"
    stroke-linejoin="round"
    aria-hidden="true"
    focusable="false"
  >
    ${content}
  </svg>
`;

/**
 * The verdict as two halves, glaze left and dab right: one unbroken disc when they blend, a filled
 * and an empty half that do not line up when the dab shows, a half still undecided when unsure.
 */
export function verdictIcon(verdict: Verdict | 'refused', size = 24): TemplateResult {
  switch (verdict) {
    case 'blends':
      return picture(svg`<circle cx="12" cy="12" r="10" fill="currentColor" />`, size);
    case 'shows':
      return picture(
        svg`<path d="M11 1.5a9.5 9.5 0 0 0 0 19z" fill="currentColor" />
            <path d="M14 3.5a9.5 9.5 0 0 1 0 19z" />`,
        size,
      );
    case 'unsure':
      return picture(
        svg`<path d="M11 2.5a9.5 9.5 0 0 0 0 19z" fill="currentColor" />
            <path d="M13.5 2.5a9.5 9.5 0 0 1 0 19" stroke-dasharray="0.5 4.4" stroke-width="2.6" />`,
        size,
      );
    case 'refused':
      return picture(svg`<path d="M3 3h18v18H3z" /><path d="M7 12h10" stroke-width="3" />`, size);
  }
}

/** The state of a check: a ticked disc, a triangle, an open ring, a barred square. */
export function checkIcon(state: 'good' | 'mend' | 'wait' | 'cannot', size = 26): TemplateResult {
  switch (state) {
    case 'good':
      return picture(
        svg`<circle cx="12" cy="12" r="10" fill="currentColor" stroke="none" />
            <path d="M7 12.5l3.5 3.5L17 9" stroke="#2a2a2a" stroke-width="3" />`,
        size,
      );
    case 'mend':
      return picture(
        svg`<path d="M12 2l11 20H1z" fill="currentColor" stroke="none" />
            <path d="M12 9v6M12 18.4v.1" stroke="#2a2a2a" stroke-width="2.6" />`,
        size,
      );
    case 'wait':
      return picture(svg`<circle cx="12" cy="12" r="9" stroke-dasharray="1 5" />`, size);
    case 'cannot':
      return picture(svg`<path d="M3 3h18v18H3z" /><path d="M7 12h10" stroke-width="3" />`, size);
  }
}

export const icons = {
  jobs: picture(svg`<path d="M4 5h16M4 12h16M4 19h10" />`, 24),
  dab: picture(
    svg`<path d="M12 4c5 0 8 3 8 7s-2 9-8 9-8-4-8-9 3-7 8-7z" fill="currentColor" />`,
    22,
  ),
  glaze: picture(svg`<circle cx="12" cy="12" r="9" /><circle cx="12" cy="12" r="3.4" />`, 22),
  tile: picture(svg`<path d="M4 7l13-3 3 13-13 3z" />`, 22),
  map: picture(
    svg`<path d="M4 13c0-6 3-9 8-9s9 3 8 9-5 7-9 7-7-2-7-7z" /><path d="M9 13c0-2 1-4 4-4s3 2 3 4-2 3-4 3-3-1-3-3z" />`,
    22,
  ),
  near: picture(svg`<circle cx="10" cy="10" r="6.5" /><path d="M15 15l6 6M10 7v6M7 10h6" />`, 22),
  far: picture(svg`<circle cx="10" cy="10" r="6.5" /><path d="M15 15l6 6M7 10h6" />`, 22),
  photo: picture(svg`<path d="M3 4h18v16H3zM3 16l5-5 4 4 4-6 5 7" />`, 22),
  camera: picture(svg`<path d="M2 7h5l2-3h6l2 3h5v13H2z" /><circle cx="12" cy="13" r="4" />`, 22),
  record: picture(svg`<path d="M5 2h10l4 4v16H5zM9 11h6M9 15h6" />`, 22),
  palette: picture(svg`<path d="M3 4h5v16H3zM10 4h5v16h-5zM17 4h4v16h-4z" />`, 22),
  caution: picture(svg`<path d="M12 3l10 18H2zM12 10v5M12 18v.1" />`, 20),
  undo: picture(svg`<path d="M4 9h10a6 6 0 0 1 0 12H8M8 4L3 9l5 5" />`, 22),
  more: picture(svg`<path d="M5 12v.1M12 12v.1M19 12v.1" stroke-width="4" />`, 22),
  close: picture(svg`<path d="M5 5l14 14M19 5L5 19" />`, 22),
  before: picture(svg`<path d="M15 4l-8 8 8 8" />`, 22),
  after: picture(svg`<path d="M9 4l8 8-8 8" />`, 22),
} as const;
