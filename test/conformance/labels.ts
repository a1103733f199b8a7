/** Printed labels, rendered by PDFium and read by OpenCV: paper and grid true to scale, each code its own mark. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type LabelStock, labelsPdf, planLabels } from '#libs/print';
import { check } from './check.js';
import { outputOf } from './python-tools.js';

const SCRIPT = fileURLToPath(new URL('labels.py', import.meta.url));
/** Paper by ISO 216; the roll by its name. */
const STOCKS: readonly (readonly [string, LabelStock, readonly [number, number]])[] = [
  ['24 on A4', { kind: 'sheet', widthMm: 70, heightMm: 37 }, [210, 297]],
  ['10 on A4', { kind: 'sheet', widthMm: 105, heightMm: 57 }, [210, 297]],
  ['a roll', { kind: 'roll', widthMm: 62, heightMm: 40 }, [62, 40]],
];
const MOST_OFF_MM = 0.15;

interface Seen {
  readonly sizesMm: readonly (readonly [number, number])[];
  readonly codes: readonly { text: string; cornerMm: readonly [number, number] | null }[];
}

/** @param render Python with pypdfium2 @param read Python with OpenCV */
export async function checkLabels(render: string, read: string): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'conformance-labels-'));
  try {
    for (const [name, stock, paper] of STOCKS) {
      const { columns, rows, labelMm } = planLabels(stock, 1);
      const marks = Array.from({ length: columns * rows }, (_, i) => `SLM.wI.2b.${i + 1}`);
      const { places } = planLabels(stock, marks.length);
      const pdf = join(folder, 'labels.pdf');
      const page = join(folder, 'page.npz');
      const labels = marks.map((code) => ({
        code,
        above: 'SLM.wI',
        name: code.slice(7),
        face: 'this side is the inside face',
        facts: ['43 g, computed'],
        caution: 'Tie on. Never tape on painted glass.',
      }));
      writeFileSync(pdf, await labelsPdf(labels, { title: name, stock }));
      run(render, ['render', pdf, page]);
      // The code stands at the left of each label.
      const regions = places.map(({ leftMm, topMm }) =>
        [leftMm, topMm, Math.min(labelMm[0], 50), labelMm[1]].join(','),
      );
      const seen = JSON.parse(run(read, ['read', page, ...regions])) as Seen;
      check(
        `labels, ${name}: the page is ${paper.join(' × ')} mm`,
        seen.sizesMm.every((size) => size.every((mm, i) => Math.abs(mm - paper[i]!) < 0.05)),
        JSON.stringify(seen.sizesMm),
      );
      check(
        `labels, ${name}: OpenCV reads all ${marks.length} codes as their marks`,
        seen.codes.every(({ text }, i) => text === marks[i]),
        seen.codes.map(({ text }) => text).join(', '),
      );
      const [first] = seen.codes;
      const off = seen.codes.map(({ cornerMm }, i) =>
        cornerMm === null || first!.cornerMm === null
          ? Infinity
          : Math.max(
              ...[0, 1].map((axis) => {
                const pitch =
                  axis === 0
                    ? (i % columns) * stock.widthMm
                    : Math.floor(i / columns) * stock.heightMm;
                return Math.abs(cornerMm[axis]! - first!.cornerMm![axis]! - pitch);
              }),
            ),
      );
      check(
        `labels, ${name}: each lies where the next one is cut, within ${MOST_OFF_MM} mm`,
        Math.max(...off) < MOST_OFF_MM,
        `${Math.max(...off).toFixed(3)} mm off`,
      );
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function run(python: string, args: readonly string[]): string {
  const done = spawnSync(python, [SCRIPT, ...args], { encoding: 'utf8' });
  if (done.status !== 0) throw new Error(`labels.py ${args[0] ?? ''}: ${outputOf(done)}`);
  return done.stdout;
}
