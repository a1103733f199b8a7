import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { netDxf, netJson, netSvg, scheduleCsv } from '#libs/net';
import { netPdf } from '#libs/print';
import type { RubbingSheet } from '#libs/rubbing';
import type { Command, Output } from './command.js';
import { decodePicture } from './decode-picture.js';
import { EXIT } from './exit-codes.js';
import { MARKS_HELP, readMarks } from './marks-file.js';
import { netReport } from './net-report.js';
import { readArguments } from './read-arguments.js';
import { UsageError } from './refusal.js';
import { rubbingNet } from './rubbing-net.js';
import { writeStages } from './write-stages.js';

const HELP = `mullion rubbing PHOTO... --marks marks.json --out DIR [--dpi N] [--face inside|outside]
                [--explain DIR]

Reads a wax rubbing (or a tracing in pen) and writes the lead drawing to DIR:
  net.json      joints, leads, pieces in millimetres, with what is doubtful
  net.svg       the drawing at 1:1
  net.dxf       the same for CAD, 1 unit = 1 mm
  net.pdf       the drawing at 1:1 to print and rebuild on
  schedule.csv  came by width class, with waste

Several overlapping pictures of one panel are read as one: name them all, and as many times --marks,
in the same order. Marks at measured places give them one frame; otherwise their wax is matched.

  --explain DIR writes a picture of every stage there, and index.html to read them in order
  --dpi N       the pictures are flat scans at N dots an inch
  --face        which face was rubbed; the outside is turned over into the inside view

A rubbing shows face widths only: the came's profile stays "not measured".
Generated rubbings are what the figures in the README were measured on.

${MARKS_HELP}
exit 0  written      1  this picture or these marks cannot support a drawing      2  wrong usage
`;

async function run(args: readonly string[], output: Output) {
  const { values, positionals } = readArguments(
    args,
    {
      marks: { type: 'string', multiple: true },
      explain: { type: 'string' },
      out: { type: 'string' },
      dpi: { type: 'string' },
      face: { type: 'string' },
    } as const,
    ['PHOTO...'],
  );
  if (values.marks === undefined) throw new UsageError('--marks names the file with the marks.');
  if (values.out === undefined) throw new UsageError('--out names the folder to write to.');
  const dpi = values.dpi === undefined ? undefined : Number(values.dpi);
  if (dpi !== undefined && !(dpi >= 50 && dpi <= 2400)) {
    throw new UsageError(`--dpi is a number from 50 to 2400, not ${values.dpi ?? ''}.`);
  }
  const face = values.face ?? 'inside';
  if (face !== 'inside' && face !== 'outside')
    throw new UsageError(`--face is inside or outside, not ${face}.`);

  if (values.marks.length !== positionals.length) {
    throw new UsageError(
      `${positionals.length} pictures need as many --marks, in the same order; ${values.marks.length} came.`,
    );
  }
  const sheets: RubbingSheet[] = [];
  for (const [i, photo] of positionals.entries()) {
    const marks = await readMarks(values.marks[i]!);
    output.note(`reading ${photo}`);
    const picture = await decodePicture(photo);
    sheets.push({ image: { ...picture, ...(dpi === undefined ? {} : { dpi }) }, ...marks });
  }
  const { net, stages } = rubbingNet(
    sheets,
    { face, explain: values.explain !== undefined },
    output,
  );

  await mkdir(values.out, { recursive: true });
  const write = (name: string, body: string | Uint8Array) =>
    writeFile(join(values.out!, name), body);
  await write('net.json', netJson(net));
  await write('net.svg', netSvg(net));
  await write('net.dxf', netDxf(net));
  await write('net.pdf', await netPdf(net));
  await write('schedule.csv', scheduleCsv(net));
  if (values.explain !== undefined) await writeStages(stages, values.explain);
  for (const line of netReport(net)) output.say(line);
  output.say(`written to      ${values.out}`);
  return EXIT.ok;
}

export const rubbingCommand: Command = {
  help: HELP,
  run,
};
