/**
 * Names in a drawing, placed greedily so that none lies on another: each beside what it names, and
 * where that is taken further off, with a line that leads there. All lengths in px, y downwards.
 */
export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}
export interface Line {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}
export interface Label {
  readonly text: string;
  /** What it names. */
  readonly x: number;
  readonly y: number;
  /** Where from there it stands when nothing is in the way, radians. */
  readonly towards: number;
  /** So much is kept free about what it names. */
  readonly gap: number;
  /** No further off than this: a name that finds no place is left out. */
  readonly reach: number;
}
export interface PlacedLabel<L extends Label> {
  readonly label: L;
  /** The middle of the text. */
  readonly x: number;
  readonly y: number;
  readonly box: Box;
  /** From what is named to a name that stands apart from it. */
  readonly leader: Line | undefined;
}
export interface Room {
  readonly within: Box;
  /** No name lies on these; on lines only when it must. */
  readonly taken: readonly Box[];
  readonly lines: readonly Line[];
}

const HEIGHT = 15;
/** From here on a line leads to the name. */
const APART = 14;
const DISTANCES = [0, 6, 14, 24, 36, 50, 66, 84, 106, 132, 164, 200, 250, 310, 380];
/** Turned away from where it would stand, degrees. */
const TURNS = [0, 18, -18, 36, -36, 56, -56, 80, -80, 110, -110, 145, -145, 180];
/** Where the places about it are all taken the whole drawing is searched, in steps of so much. */
const STEP = 5;
/** What a turn of a radian, a line under a name, and a leader across something else cost, px. */
const COST = { turn: 9, under: 26, across: 40 };

/** Room for a text at 13 px, weight 600: rather too much than too little. */
export function textWidth(text: string): number {
  let width = 4;
  for (const letter of text) width += letter > '\u2e80' ? 13.5 : /[MWm%@—…]/.test(letter) ? 12 : 8;
  return width;
}

/** The first labels choose first. */
export function placeLabels<L extends Label>(
  labels: readonly L[],
  { within, taken, lines }: Room,
): readonly PlacedLabel<L>[] {
  const placed: PlacedLabel<L>[] = [];
  const boxes = [...taken];
  const drawn = [...lines];
  for (const label of labels) {
    const best = bestOf(label, within, boxes, drawn) ?? nearestFree(label, within, boxes);
    if (!best) continue;
    placed.push(best);
    boxes.push(best.box);
    if (best.leader) drawn.push(best.leader);
  }
  return placed;
}

function bestOf<L extends Label>(
  label: L,
  within: Box,
  boxes: readonly Box[],
  lines: readonly Line[],
): PlacedLabel<L> | undefined {
  let best: PlacedLabel<L> | undefined;
  let least = Infinity;
  for (const distance of DISTANCES) {
    if (distance > label.reach || distance > least) break;
    for (const degrees of TURNS) {
      const turn = (degrees * Math.PI) / 180;
      const at = standing(label, label.towards + turn, label.gap + distance, within);
      if (boxes.some((box) => overlap(box, at.box))) continue;
      const leader = distance >= APART ? leaderTo(label, at.box) : undefined;
      const under = lines.filter((line) => meets(line, at.box)).length;
      const across = leader ? boxes.filter((box) => meets(leader, box)).length : 0;
      const cost =
        distance + COST.turn * Math.abs(turn) + COST.under * under + COST.across * across;
      if (cost < least) {
        least = cost;
        best = { label, ...at, leader };
      }
    }
  }
  return best;
}

/** Anywhere in the drawing, as near as there is room. */
function nearestFree<L extends Label>(
  label: L,
  within: Box,
  boxes: readonly Box[],
): PlacedLabel<L> | undefined {
  const half = { x: textWidth(label.text) / 2, y: HEIGHT / 2 };
  let best: PlacedLabel<L> | undefined;
  let least = label.reach;
  for (let y = within.top + half.y; y <= within.bottom - half.y; y += STEP) {
    for (let x = within.left + half.x; x <= within.right - half.x; x += STEP) {
      const box = boxAbout(x, y, 2 * half.x, HEIGHT);
      const leader = leaderTo(label, box);
      const off = Math.hypot(leader.x1 - label.x, leader.y1 - label.y);
      if (off >= least || boxes.some((other) => overlap(box, other))) continue;
      least = off;
      best = { label, x, y, box, leader };
    }
  }
  return best;
}

/** The text with its nearest edge so far off, brought back where it would stick out. */
function standing({ text, x, y }: Label, angle: number, off: number, within: Box) {
  const [ux, uy] = [Math.cos(angle), Math.sin(angle)];
  const half = { x: textWidth(text) / 2, y: HEIGHT / 2 };
  const beyond = off + Math.abs(ux) * half.x + Math.abs(uy) * half.y;
  const middle = {
    x: between(x + ux * beyond, within.left + half.x, within.right - half.x),
    y: between(y + uy * beyond, within.top + half.y, within.bottom - half.y),
  };
  return { ...middle, box: boxAbout(middle.x, middle.y, 2 * half.x, HEIGHT) };
}

export function boxAbout(x: number, y: number, width: number, height: number): Box {
  return {
    left: x - width / 2,
    top: y - height / 2,
    right: x + width / 2,
    bottom: y + height / 2,
  };
}

export function overlap(one: Box, other: Box): boolean {
  return (
    one.left < other.right &&
    other.left < one.right &&
    one.top < other.bottom &&
    other.top < one.bottom
  );
}

/** It begins where what is named ends. */
function leaderTo({ x, y, gap }: Label, box: Box): Line {
  const [x1, y1] = [between(x, box.left, box.right), between(y, box.top, box.bottom)];
  const begin = Math.min(1, gap / Math.hypot(x1 - x, y1 - y));
  return { x0: x + begin * (x1 - x), y0: y + begin * (y1 - y), x1, y1 };
}

function between(value: number, low: number, high: number): number {
  return Math.max(low, Math.min(high, value));
}

/** Whether a line passes through a box: what is left of it between the box's sides (Liang–Barsky). */
export function meets({ x0, y0, x1, y1 }: Line, box: Box): boolean {
  let [from, to] = [0, 1];
  const sides = [
    [x0 - x1, x0 - box.left],
    [x1 - x0, box.right - x0],
    [y0 - y1, y0 - box.top],
    [y1 - y0, box.bottom - y0],
  ] as const;
  for (const [slope, room] of sides) {
    if (slope === 0) {
      if (room <= 0) return false;
    } else if (slope < 0) from = Math.max(from, room / slope);
    else to = Math.min(to, room / slope);
  }
  return from < to;
}

/** Heights of a column of names, in the order given, as near as may be to where they would stand. */
export function column(wanted: readonly number[], top: number, bottom: number): readonly number[] {
  const line = Math.min(HEIGHT, (bottom - top) / Math.max(1, wanted.length));
  const heights: number[] = [];
  let above = top - line / 2;
  for (const want of wanted) {
    above = Math.max(above + line, want);
    heights.push(above);
  }
  let below = bottom + line / 2;
  for (let i = heights.length - 1; i >= 0; i--) {
    below = Math.min(heights[i]!, below - line);
    heights[i] = below;
  }
  return heights;
}

/**
 * Names cut to a length; those that then read the same are numbered, so that each still names one.
 * Colour Index generic names are shorter than that.
 */
export function shortNames(names: readonly string[], letters: number): readonly string[] {
  const cut = (name: string, to: number) => {
    const all = Array.from(name);
    return all.length <= to
      ? name
      : `${all
          .slice(0, to - 1)
          .join('')
          .trimEnd()}…`;
  };
  const short = names.map((name) => cut(name, letters));
  return short.map((name, index) => {
    const alike = short.flatMap((other, at) => (other === name ? [at] : []));
    if (alike.length === 1) return name;
    const number = ` ${alike.indexOf(index) + 1}`;
    return `${cut(names[index]!, letters - number.length)}${number}`;
  });
}
