/**
 * A record as one HTML page that needs nothing else: paper-white, its own print style, no script.
 * Fonts are asked for by name and fall back; a page that serves them looks the same as the PDF.
 */
import { areaPatternSvg, swatchSvg } from '#libs/vocabulary';
import { type Block, type Fact, layOutRecord, NOT_RECORDED, type RecordOptions } from './blocks.js';
import { drawingSvg } from './drawing-svg.js';
import { elevationSvg } from './elevation-svg.js';
import type { MullionRecord, RecordImage } from './record.js';

const STYLE = `
:root{--paper:#fbf8f1;--ink:#1d1b18;--dim:#6b6459;--rule:#d5cdbd;--stain:#a8720c}
*{box-sizing:border-box}
html{background:#e9e3d6}
body{margin:0 auto;max-width:190mm;padding:14mm 12mm 18mm;background:var(--paper);color:var(--ink);font:400 11.5pt/1.5 Literata,Georgia,serif;font-variant-numeric:tabular-nums}
header{border-bottom:.4mm solid var(--ink);padding-bottom:5mm;margin-bottom:7mm}
.mark{font:700 26pt/1.1 "Atkinson Hyperlegible Next",Verdana,sans-serif;letter-spacing:-.01em}
h1{font:400 15pt/1.3 Literata,Georgia,serif;color:var(--dim);margin:1mm 0 0}
.lead{margin:2mm 0 0}
h2{font:600 12.5pt/1.3 Literata,Georgia,serif;margin:9mm 0 2.5mm;break-after:avoid}
section{break-inside:auto}
dl{display:grid;grid-template-columns:minmax(34mm,26%) 1fr;margin:0}
dt,dd{margin:0;padding:1.4mm 0;border-top:.2mm solid var(--rule)}
dt{font:400 9.5pt/1.6 "Atkinson Hyperlegible Next",Verdana,sans-serif;color:var(--dim)}
dd{white-space:pre-line;overflow-wrap:anywhere}
.none{color:var(--dim);font-style:italic}
.class{display:grid;grid-template-columns:18mm 1fr;gap:5mm;align-items:start;border-top:.2mm solid var(--rule);padding-top:3mm;break-inside:avoid}
.class .value{font:700 30pt/1 "Atkinson Hyperlegible Next",Verdana,sans-serif;color:var(--stain);text-align:center}
.class p{margin:0}
.class ul{margin:1.5mm 0 0;padding-left:5mm}
figure{margin:0;break-inside:avoid}
figure svg{max-width:100%;height:auto;display:block;font-family:"Atkinson Hyperlegible Next",Verdana,sans-serif}
figcaption{font:400 9.5pt/1.45 "Atkinson Hyperlegible Next",Verdana,sans-serif;color:var(--dim);margin-top:2mm}
.legend{display:grid;grid-template-columns:repeat(auto-fill,minmax(52mm,1fr));gap:2mm 6mm;list-style:none;margin:0;padding:0}
.legend li{display:flex;gap:4mm;align-items:center;font:400 10pt/1.3 "Atkinson Hyperlegible Next",Verdana,sans-serif}
.legend svg{flex:none}
.row{display:grid;grid-template-columns:10mm 18mm 1fr;gap:0 3mm;border-top:.2mm solid var(--rule);padding:2.2mm 0;break-inside:avoid}
.row.step{grid-template-columns:10mm 1fr}
.no{font:700 12pt/1.4 "Atkinson Hyperlegible Next",Verdana,sans-serif}
.row p{margin:0}
.small{font:400 9.5pt/1.5 "Atkinson Hyperlegible Next",Verdana,sans-serif;color:var(--dim)}
.images{display:grid;grid-template-columns:repeat(auto-fill,minmax(50mm,1fr));gap:5mm}
.images img{width:100%;display:block;background:#ddd}
.images .digest{overflow-wrap:anywhere;font-size:8pt}
.caution{border-left:1mm solid var(--stain);padding-left:4mm;margin:0 0 3mm;break-inside:avoid}
.caution p{margin:0}
.deferral{margin:4mm 0 0;font-style:italic}
.seal{margin-top:11mm;padding-top:4mm;border-top:.4mm solid var(--ink);break-inside:avoid}
.seal dd{font:400 9.5pt/1.6 "Atkinson Hyperlegible Next",Verdana,sans-serif}
@media (max-width:620px){body{padding:6mm 5mm 12mm}dl{grid-template-columns:1fr}dt{padding-bottom:0}dd{border-top:0;padding-top:0}.row{grid-template-columns:9mm 1fr}.row svg{grid-column:2}.row>div:last-child{grid-column:2}}
@page{size:A4;margin:16mm 14mm 18mm}
@media print{html,body{background:#fff}body{max-width:none;padding:0;font-size:10pt}.images img{max-height:70mm;object-fit:contain}}
`;

/** One HTML document in UTF-8. Identical input gives identical bytes. */
export function recordHtml(record: MullionRecord, options: RecordOptions = {}): string {
  const layout = layOutRecord(record, options);
  return [
    '<!doctype html>',
    '<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">',
    `<title>${escapeHtml(`${layout.mark} · ${layout.title}`)}</title>`,
    `<style>${STYLE}</style></head><body>`,
    `<header><div class="mark">${escapeHtml(layout.mark)}</div><h1>${layout.title}</h1>`,
    layout.lead === '' ? '' : `<p class="lead">${escapeHtml(layout.lead)}</p>`,
    '</header><main>',
    ...layout.blocks.map((block, at) => `<section>${blockHtml(block, at)}</section>`),
    `</main><footer class="seal"><h2>Where this record stands</h2>${factsHtml(layout.seal)}</footer>`,
    '</body></html>',
    '',
  ].join('\n');
}

function blockHtml(block: Block, at: number): string {
  const heading = `<h2>${escapeHtml(block.heading)}</h2>`;
  switch (block.kind) {
    case 'facts':
      return heading + factsHtml(block.facts);
    case 'class':
      return `${heading}<div class="class"><div class="value">${block.value}</div><div><p><b>${block.label}</b>: ${block.meaning}</p>${
        block.reasons.length === 0
          ? ''
          : `<ul>${block.reasons.map((reason) => `<li>${escapeHtml(reason)}</li>`).join('')}</ul>`
      }</div></div>`;
    case 'drawing': {
      const { svg } = drawingSvg(block.drawing, block.observations, `d${at}-`);
      return `${heading}<figure>${svg}<figcaption>${escapeHtml(block.caption)}</figcaption></figure>`;
    }
    case 'elevation':
      return `${heading}<figure>${elevationSvg(block.elevation)}<figcaption>${escapeHtml(block.caption)}</figcaption></figure>`;
    case 'legend':
      return `${heading}<ul class="legend">${block.terms
        .map(
          (term) =>
            `<li><svg width="16mm" height="6.4mm" viewBox="0 0 16 6.4"><defs>${areaPatternSvg(term, `l${at}-`)}</defs>${swatchSvg(term, `l${at}-`)}</svg><span>${term.label}<br><span class="small">${term.definition}</span></span></li>`,
        )
        .join('')}</ul>`;
    case 'observations':
      return (
        heading +
        (block.rows.length === 0
          ? '<p class="none">none recorded</p>'
          : block.rows
              .map(
                (row) =>
                  `<div class="row"><div class="no">${row.number}</div>${
                    row.term === null
                      ? '<span></span>'
                      : `<svg width="16mm" height="6.4mm" viewBox="0 0 16 6.4" aria-hidden="true"><defs>${areaPatternSvg(row.term, `o${at}-${row.number}-`)}</defs>${swatchSvg(row.term, `o${at}-${row.number}-`)}</svg>`
                  }<div><p><b>${escapeHtml(row.what)}</b>, ${escapeHtml(row.where)}${row.extent === null ? '' : `: ${escapeHtml(row.extent)}`}</p>${
                    row.note === null ? '' : `<p>${escapeHtml(row.note)}</p>`
                  }<p class="small">${smallLine([
                    ['seen by', row.who],
                    ['when', row.when],
                    ['images', row.evidence],
                  ])}</p></div></div>`,
              )
              .join(''))
      );
    case 'steps':
      return (
        heading +
        (block.rows.length === 0
          ? '<p class="none">none recorded</p>'
          : block.rows
              .map(
                (row) =>
                  `<div class="row step"><div class="no">${row.number}</div><div><p><b>${escapeHtml(row.what)}</b>${row.where === '' ? '' : `, ${escapeHtml(row.where)}`}</p>${
                    row.note === null ? '' : `<p>${escapeHtml(row.note)}</p>`
                  }<p class="small">${smallLine([
                    ['material', row.material],
                    ['by', row.who],
                    ['when', row.when],
                    ['undoing', row.reversibility],
                  ])}</p></div></div>`,
              )
              .join(''))
      );
    case 'images':
      return (
        heading +
        (block.images.length === 0
          ? `<p class="none">${NOT_RECORDED}</p>`
          : `<div class="images">${block.images.map(imageHtml).join('')}</div>`)
      );
    case 'cautions':
      return `${heading}${block.items
        .map(
          ({ hazard, text }) =>
            `<div class="caution"><p><b>${escapeHtml(hazard)}.</b> ${escapeHtml(text)}</p></div>`,
        )
        .join('')}<p class="deferral">${escapeHtml(block.deferral)}</p>`;
  }
}

function factsHtml(facts: readonly Fact[]): string {
  return `<dl>${facts
    .map(
      ({ label, text }) =>
        `<dt>${escapeHtml(label)}</dt><dd>${text === null ? `<span class="none">${NOT_RECORDED}</span>` : escapeHtml(text)}</dd>`,
    )
    .join('')}</dl>`;
}

function smallLine(parts: readonly (readonly [string, string | null])[]): string {
  return parts
    .map(
      ([label, text]) =>
        `${label} ${text === null ? `<span class="none">${NOT_RECORDED}</span>` : escapeHtml(text)}`,
    )
    .join(' · ');
}

function imageHtml(image: RecordImage): string {
  const about = [
    image.light ?? `light ${NOT_RECORDED}`,
    image.face === null ? `face ${NOT_RECORDED}` : `${image.face} face`,
    ...(image.stage === null ? [] : [image.stage]),
    image.happened ?? `date ${NOT_RECORDED}`,
    ...(image.scale === null ? [] : [image.scale]),
  ].join(', ');
  const picture =
    image.previewJpeg === undefined
      ? ''
      : `<img alt="${escapeHtml(image.fileName)}" src="data:image/jpeg;base64,${base64(image.previewJpeg)}">`;
  return `<figure>${picture}<figcaption><b>${escapeHtml(image.fileName)}</b><br>${escapeHtml(about)}<br><span class="digest">${escapeHtml(image.digest)}</span></figcaption></figure>`;
}

const BASE64 = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

function base64(bytes: Uint8Array): string {
  let text = '';
  for (let i = 0; i < bytes.length; i += 3) {
    const [a, b, c] = [bytes[i]!, bytes[i + 1] ?? 0, bytes[i + 2] ?? 0];
    const left = bytes.length - i;
    text +=
      BASE64.charAt(a >> 2) +
      BASE64.charAt(((a & 3) << 4) | (b >> 4)) +
      (left > 1 ? BASE64.charAt(((b & 15) << 2) | (c >> 6)) : '=') +
      (left > 2 ? BASE64.charAt(c & 63) : '=');
  }
  return text;
}

function escapeHtml(text: string): string {
  return text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}
