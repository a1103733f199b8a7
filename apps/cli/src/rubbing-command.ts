import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { netDxf, netJson, netSvg, scheduleCsv } from '#libs/net';
import { netPdf } from '#libs/print';
import type { Command, Output } from './command.js';
import { decodePicture } from './decode-picture.js';
import { EXIT } from './exit-codes.js';
import { MARKS_HELP, readMarks } from './marks-file.js';
import { netReport } from './net-report.js';
import { readArguments } from './read-arguments.js';
import { UsageError } from './refusal.js';
import { rubbingNet } from './rubbing-net.js';

const HELP = `mullion rubbing PHOTO --marks marks.json --out DIR [--dpi N] [--face inside|outside]

Reads a wax rubbing and writes the lead drawing to DIR:
  net.json      joints, leads, pieces in millimetres, with what is doubtful
  net.svg       the drawing at 1:1
  net.dxf       the same for CAD, 1 unit = 1 mm
  net.pdf       the drawing at 1:1 to print and rebuild on
  schedule.csv  came by width class, with waste

  --dpi N       the picture is a flat scan at N dots an inch
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
      marks: { type: 'string' },
      out: { type: 'string' },
      dpi: { type: 'string' },
      face: { type: 'string' },
    } as const,
    ['PHOTO'],
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

  const marks = await readMarks(values.marks);
  output.note('reading the picture');
  const picture = await decodePicture(positionals[0]!);
  const image = { ...picture, ...(dpi === undefined ? {} : { dpi }) };
  const net = rubbingNet([{ image, ...marks }], { face }, output);

  await mkdir(values.out, { recursive: true });
  const write = (name: string, body: string | Uint8Array) =>
    writeFile(join(values.out!, name), body);
  await write('net.json', netJson(net));
  await write('net.svg', netSvg(net));
  await write('net.dxf', netDxf(net));
  await write('net.pdf', await netPdf(net));
  await write('schedule.csv', scheduleCsv(net));
  for (const line of netReport(net)) output.say(line);
  output.say(`written to      ${values.out}`);
  return EXIT.ok;
}

export const rubbingCommand: Command = {
  name: 'rubbing',
  summary: 'a wax rubbing to a lead drawing',
  help: HELP,
  run,
};
