/** A QR code (ISO/IEC 18004) of a text, black on white with its quiet zone of four modules. */
import { svg, type TemplateResult } from 'lit';
import { encode } from 'uqr';

const QUIET = 4;

/** An `<svg>` that fills its box. */
export function qrCode(text: string, label: string): TemplateResult {
  const { data, size } = encode(text, { border: QUIET, ecc: 'M' });
  const path = data
    .flatMap((row, y) => row.flatMap((isDark, x) => (isDark ? [`M${x} ${y}h1v1h-1z`] : [])))
    .join('');
  return svg`<svg viewBox="0 0 ${size} ${size}" role="img" aria-label=${label}
    shape-rendering="crispEdges">
    <rect width=${size} height=${size} fill="#ffffff" />
    <path d=${path} fill="#000000" />
  </svg>`;
}
