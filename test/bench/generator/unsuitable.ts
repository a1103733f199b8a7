/**
 * Pictures that are no rubbing, for the refusals: node test/bench/generator/unsuitable.js DIR. Drawn here from
 * shapes and noise, so that they show nobody and nothing that exists. 6 px/mm of a sheet 170 × 210 mm.
 */
import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import sharp from 'sharp';
import { type RandomStream, randomStream } from './random-stream.js';

const WIDTH = 1020;
const HEIGHT = 1260;

const svg = (body: string): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${HEIGHT}">${body}</svg>`;
const n = (v: number): string => v.toFixed(1);

/** Head and shoulders before a wall. */
function portrait(): string {
  return svg(`<defs>
<radialGradient id="wall"><stop offset="0" stop-color="#a9b0a2"/><stop offset="1" stop-color="#5d665f"/></radialGradient>
<radialGradient id="skin" cx=".4" cy=".4"><stop offset="0" stop-color="#e8bfa0"/><stop offset="1" stop-color="#a8714f"/></radialGradient></defs>
<rect width="100%" height="100%" fill="url(#wall)"/>
<path d="M120 1260 Q180 900 510 880 Q840 900 900 1260Z" fill="#3a4a6b"/>
<rect x="410" y="740" width="200" height="200" fill="#b07d5c"/>
<ellipse cx="510" cy="540" rx="270" ry="340" fill="url(#skin)"/>
<path d="M230 520 Q210 150 510 160 Q820 150 790 520 Q760 320 640 300 Q500 270 380 310 Q270 340 230 520Z" fill="#3b2a1e"/>
<g fill="#fff"><ellipse cx="405" cy="500" rx="52" ry="24"/><ellipse cx="615" cy="500" rx="52" ry="24"/></g>
<g fill="#2c3a32"><circle cx="405" cy="500" r="22"/><circle cx="615" cy="500" r="22"/></g>
<g stroke="#3b2a1e" stroke-width="14" fill="none"><path d="M340 450 Q405 420 470 450"/><path d="M550 450 Q615 420 680 450"/></g>
<path d="M510 510 Q480 620 500 640 Q520 655 545 638" stroke="#8f5d40" stroke-width="10" fill="none"/>
<path d="M420 735 Q510 700 600 735 Q510 800 420 735Z" fill="#a4483f"/>`);
}

/** Hills, a field with furrows, trees, clouds. */
function landscape(random: RandomStream): string {
  const trees = Array.from({ length: 90 }, () => {
    const x = random.between(0, WIDTH);
    const y = random.between(560, 760);
    const r = random.between(14, 46);
    return `<ellipse cx="${n(x)}" cy="${n(y)}" rx="${n(r)}" ry="${n(r * 1.2)}" fill="hsl(${n(random.between(85, 125))} 35% ${n(random.between(16, 34))}%)"/>`;
  }).join('');
  const furrows = Array.from(
    { length: 26 },
    (_, i) =>
      `<path d="M${n(510 + (i - 13) * 16)} 770 L${n(510 + (i - 13) * 120)} 1260" stroke="hsl(40 40% ${n(random.between(36, 60))}%)" stroke-width="14"/>`,
  ).join('');
  const clouds = Array.from(
    { length: 22 },
    () =>
      `<ellipse cx="${n(random.between(0, WIDTH))}" cy="${n(random.between(40, 330))}" rx="${n(random.between(50, 170))}" ry="${n(random.between(16, 50))}" fill="#fff" opacity=".45"/>`,
  ).join('');
  return svg(`<defs><linearGradient id="sky" x2="0" y2="1"><stop offset="0" stop-color="#5f93c8"/><stop offset="1" stop-color="#d9e6ee"/></linearGradient></defs>
<rect width="100%" height="700" fill="url(#sky)"/>${clouds}
<path d="M0 620 Q250 430 520 590 T1020 520 V800 H0Z" fill="#6d8a78"/><path d="M0 690 Q300 580 640 680 T1020 640 V800 H0Z" fill="#4f6e44"/>
<rect y="760" width="100%" height="500" fill="#b79b58"/>${furrows}${trees}`);
}

/** Lines of made-up letters. */
function textPage(random: RandomStream): string {
  let d = '';
  for (let y = 90; y < HEIGHT - 80; y += 38) {
    const end = random.chance(0.15) ? random.between(300, 800) : WIDTH - 90;
    for (let x = 90; x < end; ) {
      const letters = random.whole(2, 9);
      for (let k = 0; k < letters && x < end; k++, x += 15) {
        const p = (): string => `${n(x + random.between(0, 11))} ${n(y - random.between(0, 18))}`;
        d += `M${n(x)} ${n(y)}L${n(x + random.between(0, 3))} ${n(y - 18)}M${p()}Q${p()} ${p()}`;
      }
      x += 13;
    }
  }
  return svg(
    `<rect width="100%" height="100%" fill="#f4f1e8"/><path d="${d}" stroke="#23211f" stroke-width="3" fill="none"/>`,
  );
}

function blankSheet(): string {
  return svg(
    `<defs><linearGradient id="p"><stop offset="0" stop-color="#efebe0"/><stop offset="1" stop-color="#d8d3c6"/></linearGradient></defs><rect width="100%" height="100%" fill="url(#p)"/>`,
  );
}

/** A leaded panel before the sky: coloured quarries, black leads, black surround. */
function panelAgainstLight(random: RandomStream, isColoured: boolean): string {
  const panes: string[] = [];
  const [w, h] = [150, 190];
  for (let j = -1; j < 13; j++) {
    for (let i = -1; i < 8; i++) {
      const x = 90 + i * w + (j % 2 === 0 ? 0 : w / 2);
      const y = 90 + j * (h / 2);
      const fill = isColoured
        ? `hsl(${n(random.pick([10, 45, 120, 205, 230, 280]))} ${n(random.between(35, 80))}% ${n(random.between(40, 75))}%)`
        : `hsl(90 8% ${n(random.between(72, 90))}%)`;
      panes.push(
        `<path d="M${n(x)} ${n(y - h / 2)}l${w / 2} ${h / 2}l${-w / 2} ${h / 2}l${-w / 2} ${-h / 2}z" fill="${fill}" stroke="#0b0b0b" stroke-width="${n(random.between(28, 34))}"/>`,
      );
    }
  }
  return svg(
    `<rect width="100%" height="100%" fill="#c8d4da"/>${panes.join('')}<path d="M0 0H1020V1260H0Z M95 95V1165H925V95Z" fill="#0a0a0a"/>`,
  );
}

/** Softened, with sensor noise. */
async function photographed(
  random: RandomStream,
  body: string,
  blurPx: number,
  path: string,
): Promise<void> {
  const { data, info } = await sharp(Buffer.from(body))
    .flatten({ background: '#ffffff' })
    .blur(blurPx)
    .raw()
    .toBuffer({ resolveWithObject: true });
  for (let i = 0; i < data.length; i++) {
    data[i] = Math.min(255, Math.max(0, Math.round(data[i]! + 3 * random.normal())));
  }
  await sharp(data, { raw: { width: info.width, height: info.height, channels: 3 } })
    .jpeg({ quality: 80 })
    .toFile(path);
}

const folder = process.argv[2];
if (folder === undefined) throw new Error('name the folder to write to');
await mkdir(folder, { recursive: true });
const random = randomStream('unsuitable');
const pictures: Readonly<Record<string, [string, number]>> = {
  portrait: [portrait(), 1.6],
  landscape: [landscape(random.branch('landscape')), 1.2],
  'text-page': [textPage(random.branch('text')), 0.7],
  'blank-sheet': [blankSheet(), 1],
  'panel-coloured': [panelAgainstLight(random.branch('coloured'), true), 1.2],
  'panel-clear': [panelAgainstLight(random.branch('clear'), false), 1.2],
};
for (const [name, [body, blurPx]] of Object.entries(pictures)) {
  await photographed(random.branch(name), body, blurPx, join(folder, `${name}.jpg`));
}
