/** "How was this found?" as files: a PNG of every stage and a page that shows them in order. */
import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import sharp from 'sharp';
import type { RubbingStage } from '#libs/rubbing';

export async function writeStages(stages: readonly RubbingStage[], folder: string): Promise<void> {
  await mkdir(folder, { recursive: true });
  for (const [i, { key, rgb, widthPx, heightPx }] of stages.entries()) {
    await sharp(rgb, { raw: { width: widthPx, height: heightPx, channels: 3 } })
      .png({ compressionLevel: 6 })
      .toFile(join(folder, fileOf(i, key)));
  }
  await writeFile(join(folder, 'index.html'), page(stages));
}

const fileOf = (i: number, key: string): string => `${i + 1}-${key}.png`;

const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;');

function page(stages: readonly RubbingStage[]): string {
  const figures = stages.map(
    ({ key, title, caption, widthPx, heightPx }, i) => `<figure id="${key}">
<img src="${fileOf(i, key)}" width="${widthPx}" height="${heightPx}" alt="${escaped(title)}">
<figcaption><h2>${i + 1}. ${escaped(title)}</h2><p>${escaped(caption)}</p></figcaption>
</figure>`,
  );
  return `<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>How was this found?</title>
<style>
body { margin: 0 auto; max-width: 80rem; padding: 1.5rem; background: #f3efe6; color: #1d1b18; font: 1.05rem/1.5 Georgia, serif }
figure { margin: 2rem 0; display: grid; gap: 1.5rem; grid-template-columns: minmax(0, 2fr) minmax(14rem, 1fr); align-items: start }
img { max-width: 100%; height: auto; border: 1px solid #d9d2c2 }
h2 { margin: 0; font-size: 1.2rem }
@media (max-width: 45rem) { figure { grid-template-columns: minmax(0, 1fr) } }
</style>
<h1>How was this found?</h1>
${figures.join('\n')}
</html>
`;
}
