/** How numbers are written on the screen: a decimal point, a true minus, grams a balance can show. */

export function formatNumber(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? `−${text}` : text;
}

/** Grams to the step a bench balance shows: 0.01 g, or 0.001 g where 0.01 would hide the dose. */
export function formatGrams(grams: number): string {
  const decimals = grams !== 0 && Math.abs(grams) < 0.1 ? 3 : 2;
  return `${formatNumber(grams, decimals)} g`;
}

export function formatPercent(share: number): string {
  const percent = share * 100;
  return `${percent > 0 && percent < 1 ? 'under 1' : percent.toFixed(0)} %`;
}

export function formatTime(iso: string): string {
  return new Date(iso).toLocaleString(undefined, { dateStyle: 'medium', timeStyle: 'short' });
}
