import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const folder = mkdtempSync(join(tmpdir(), 'nudge-'));
afterAll(() => rmSync(folder, { recursive: true }));

const REQUEST = {
  palette: [
    { id: 'white', colourIndex: 'PW 6', isWhite: true, masstone: [96, -1, 2.5] },
    { id: 'blue', masstone: [33, 6, -37], tint: { lab: [72, -6, -24], pigment: 1, white: 9 } },
    { id: 'ochre', masstone: [52, 22, 54], tint: { lab: [82, 6, 28], pigment: 1, white: 9 } },
  ],
  pot: { white: 5, blue: 0.05 },
  glazeLab: [86, -4, -8],
  dabLab: [89, -4, -4.5],
};

function command(args: readonly string[], input = '') {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ['--import', 'tsx', 'src/headless/nudge.ts', ...args],
    { input, encoding: 'utf8' },
  );
  return {
    status,
    out: stdout.split('\n').filter(Boolean),
    err: stderr.split('\n').filter(Boolean),
  };
}

function file(name: string, content: string): string {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
}

interface Line {
  readonly ok: boolean;
  readonly error?: string;
  readonly suggestions?: readonly { readonly additions: Readonly<Record<string, number>> }[];
}
const parsed = (lines: readonly string[]) => lines.map((line) => JSON.parse(line) as Line);

describe('npm run nudge', () => {
  it('answers one request', () => {
    const { status, out, err } = command([file('good.json', JSON.stringify(REQUEST))]);
    expect({ status, err }).toEqual({ status: 0, err: [] });
    const [answer] = parsed(out);
    expect(answer!.ok).toBe(true);
    expect(Object.keys(answer!.suggestions![0]!.additions)).toContain('blue');
  });

  it('answers an empty pot with a first mix, and takes back what it taught', () => {
    const { pot, dabLab, ...rest } = REQUEST;
    const taught = command(['--stdin'], JSON.stringify({ ...rest, pot, dabLab })).out[0]!;
    const { learned } = JSON.parse(taught) as { readonly learned: Record<string, unknown> };
    expect(Object.keys(learned)).toEqual(['white', 'blue', 'ochre']);
    const first = { ...rest, pot: {}, amount: 10, strengths: learned };
    const { status, out } = command(['--stdin'], JSON.stringify(first));
    const grams = Object.values(parsed(out)[0]!.suggestions![0]!.additions);
    expect(status).toBe(0);
    expect(grams.reduce((sum, value) => sum + value, 0)).toBeCloseTo(10, 0);
  });

  it('names the file and the fault, with exit code 2', () => {
    const bad = file('bad.json', JSON.stringify({ ...REQUEST, pot: { blu: 1 } }));
    const { status, out, err } = command([bad]);
    expect({ status, out }).toEqual({ status: 2, out: [] });
    expect(err).toEqual([`${bad}: pot: pigment “blu” is not in the palette (white, blue, ochre)`]);
    expect(command([join(folder, 'none.json')])).toMatchObject({ status: 2, out: [] });
    expect(command([file('broken.json', '{')]).err[0]).toMatch(/broken\.json: not JSON/);
    expect(command([]).err[0]).toMatch(/usage/);
  });

  it('answers each line on its own line, bad ones too', () => {
    const good = JSON.stringify(REQUEST);
    const input = [good, '{"palette": 3}', 'not json', good].join('\n');
    const { status, out, err } = command(['--stdin'], input);
    const answers = parsed(out);
    expect(status).toBe(2);
    expect(answers.map(({ ok }) => ok)).toEqual([true, false, false, true]);
    expect(answers[1]!.error).toMatch(/line 2: palette/);
    expect(answers[2]!.error).toMatch(/line 3: not JSON/);
    expect(err).toHaveLength(2);
    expect(out[0]).toBe(out[3]);
  });
});
