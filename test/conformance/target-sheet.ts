/** The printed target sheet, rendered by PDFium and read by OpenCV: the tags are those of the published family, in their places. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { targetSheetPdf } from '#libs/print';
import { TAG_MM, type TargetPaper, targetLayout } from '#libs/rubbing';
import { check } from './check.js';
import { outputOf } from './python-tools.js';

const SCRIPT = fileURLToPath(new URL('target-sheet.py', import.meta.url));
const PAPERS: readonly TargetPaper[] = ['A4', 'A3', 'Letter'];
/** The published family turned half round is how OpenCV keeps it, so corners are compared by place, not by order. */
const MOST_OFF_MM = 0.1;

interface SeenTag {
  id: number;
  centreMm: [number, number];
  sidesMm: number[];
}

/** @param render Python with pypdfium2 @param detect Python with OpenCV */
export async function checkTargetSheet(render: string, detect: string): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'conformance-target-'));
  try {
    for (const paper of PAPERS) {
      const pdf = join(folder, `${paper}.pdf`);
      const page = join(folder, `${paper}.npy`);
      writeFileSync(pdf, await targetSheetPdf(paper));
      run(render, ['render', pdf, page]);
      const seen = JSON.parse(run(detect, ['detect', page])) as SeenTag[];
      const wanted = targetLayout(paper).strips.flatMap((strip) =>
        strip.tags.map((tag) => ({
          id: tag.id,
          xMm: strip.leftMm + tag.xMm + TAG_MM / 2,
          yMm: strip.topMm + tag.yMm + TAG_MM / 2,
        })),
      );
      check(
        `target sheet ${paper}: OpenCV reads ${wanted.length} tags of family 36h11`,
        seen.length === wanted.length &&
          wanted.every(({ id }) => seen.some((tag) => tag.id === id)),
        `read: ${seen.map((tag) => tag.id).join(', ')}`,
      );
      const off = wanted.map(({ id, xMm, yMm }) => {
        const tag = seen.find((one) => one.id === id);
        return tag ? Math.hypot(tag.centreMm[0] - xMm, tag.centreMm[1] - yMm) : Infinity;
      });
      const side = seen.flatMap((tag) => tag.sidesMm.map((mm) => Math.abs(mm - TAG_MM)));
      check(
        `target sheet ${paper}: each tag in its place and 16 mm wide within ${MOST_OFF_MM} mm`,
        Math.max(...off) < MOST_OFF_MM && Math.max(...side) < MOST_OFF_MM,
        `places ${Math.max(...off).toFixed(3)} mm, sides ${Math.max(...side).toFixed(3)} mm off`,
      );
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function run(python: string, args: readonly string[]): string {
  const done = spawnSync(python, [SCRIPT, ...args], { encoding: 'utf8' });
  if (done.status !== 0) throw new Error(`target-sheet.py ${args[0] ?? ''}: ${outputOf(done)}`);
  return done.stdout;
}
