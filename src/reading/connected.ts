/** Cells of a grid that hang together. */

/**
 * @param seeds cells to begin with
 * @param goesOn may one go from a cell that is reached to the one beside it?
 * @returns the cells reached, the seeds among them, each once
 */
export function connectedCells(
  { cols, rows }: { readonly cols: number; readonly rows: number },
  seeds: readonly number[],
  goesOn: (from: number, to: number) => boolean,
): number[] {
  const seen = new Uint8Array(cols * rows);
  for (const cell of seeds) seen[cell] = 1;
  const stack = [...seeds];
  const reached: number[] = [];
  for (let cell = stack.pop(); cell !== undefined; cell = stack.pop()) {
    reached.push(cell);
    const x = cell % cols;
    for (const [isThere, next] of [
      [x > 0, cell - 1],
      [x < cols - 1, cell + 1],
      [cell >= cols, cell - cols],
      [cell < cols * (rows - 1), cell + cols],
    ] as const) {
      if (!isThere || seen[next] || !goesOn(cell, next)) continue;
      seen[next] = 1;
      stack.push(next);
    }
  }
  return reached;
}
