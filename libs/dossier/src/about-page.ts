/**
 * `data/about.html`: what the package is, what lies in it and how to check it, for a reader who has
 * a browser and nothing else, perhaps in fifty years.
 */

import { type DossierKind, LEDGER_DIR, OBJECTS_JSON } from './bag-layout.js';
import { escapeHtml, htmlPage } from './html.js';
import type { ListedObject } from './object-list.js';

export interface AboutInput {
  kind: DossierKind;
  subject: string;
  title: string;
  /** who made it, as it should be printed; may be empty */
  studio: string;
  /** RFC 3339 */
  madeAt: string;
  program: string;
  fingerprint: string;
  /** further paragraphs, plain text */
  paragraphs: readonly string[];
  files: readonly { path: string; title: string; sizeBytes: number }[];
  logs: readonly { origin: string; folder: string; size: number; withheld: number }[];
  objects: readonly ListedObject[];
}

/** More rows than this stand in objects.json only. */
const OBJECT_ROWS_MAX = 200;

/** Headings of the folders below data/; another folder is called by its own name. */
const HEADINGS: Readonly<Record<string, string>> = {
  records: 'Records',
  'lead-drawings': 'Lead drawings',
  pictures: 'Pictures',
  originals: 'Originals',
  lists: 'Lists, for programs',
  rectified: 'Rubbings, rectified',
  rubbings: 'Pictures of rubbings and their scale',
  placements: 'Where pictures lie on panels',
  cartoons: 'Cartoons of new work, as they came',
  nets: 'Lead drawings, for programs',
};

export function aboutPage(input: AboutInput): string {
  const { title, studio, madeAt, kind, subject } = input;
  const body = [
    `<h1>${escapeHtml(title)}</h1>`,
    `<p>Dossier of <strong>${escapeHtml(subject)}</strong>${studio === '' ? '' : `, made by ${escapeHtml(studio)}`} on ${escapeHtml(madeAt.slice(0, 10))}. ${KIND_TEXT[kind]}</p>`,
    ...input.paragraphs.map((paragraph) => `<p>${escapeHtml(paragraph)}</p>`),
    '<h2>What lies here</h2>',
    contents(input.files),
    '<h2>Has anything been altered?</h2>',
    checking(input),
    '<h2>History</h2>',
    history(input.logs),
    objectsSection(input.objects),
    '<h2>How it is written</h2>',
    FORMATS,
  ].join('\n');
  return htmlPage({ title: `${title}: dossier of ${subject}`, body });
}

const KIND_TEXT: Record<DossierKind, string> = {
  'handed-out':
    'This is the dossier that is handed out: images are copies without position and serial numbers, originals are named by their digest, and places and prices are left out.',
  keepers:
    "This is the keeper's dossier: it holds the originals and all entries. Keep it; do not pass it on.",
};

function contents(files: AboutInput['files']): string {
  const folders = new Map<string, (typeof files)[number][]>();
  for (const file of files) {
    const folder = /^data\/([^/]+)\//.exec(file.path)?.[1] ?? '';
    folders.set(folder, [...(folders.get(folder) ?? []), file]);
  }
  const known = Object.keys(HEADINGS).filter((folder) => folders.has(folder));
  const others = [...folders.keys()].filter((folder) => !(folder in HEADINGS));
  return [...known, ...others]
    .map((folder) => {
      const rows = folders.get(folder)!.map(({ path, title, sizeBytes }) => {
        const href = path.slice('data/'.length).split('/').map(encodeURIComponent).join('/');
        return `<tr><td><a href="${escapeHtml(href)}">${escapeHtml(title)}</a></td><td class="n">${sizeText(sizeBytes)}</td></tr>`;
      });
      const heading = HEADINGS[folder] ?? (folder === '' ? 'Data' : folder);
      return `<h3>${escapeHtml(heading)}</h3>\n<table>${rows.join('\n')}</table>`;
    })
    .join('\n');
}

function checking({ fingerprint }: AboutInput): string {
  return `<p>The fingerprint of the key that signed this dossier is</p>
<p class="key">${escapeHtml(fingerprint)}</p>
<p>By itself that says nothing: whoever forges a dossier can print a fingerprint of their own. Compare it with one that came
another way: from the owner's letter, an older printed record, the studio.</p>
<ul>
<li><a href="verify.html">verify.html</a> checks the whole package in this browser, with no network.</li>
<li>The command <code>mullion verify</code> does the same and says which of three results holds: altered; consistent, but the key is
not known to you; verified against your fingerprint.</li>
<li>Without either: in the folder above this one, <code>sha256sum -c manifest-sha256.txt</code> and
<code>sha256sum -c tagmanifest-sha256.txt</code> find changed files; <code>seal.txt</code> signs the tag manifests.</li>
</ul>`;
}

function history(logs: AboutInput['logs']): string {
  const rows = logs.map(
    ({ origin, folder, size, withheld }) =>
      `<tr><td><code>${escapeHtml(origin)}</code></td><td class="n">${size}</td><td class="n">${withheld}</td><td><a href="${escapeHtml(folder.slice('data/'.length))}entries.jsonl">entries</a></td></tr>`,
  );
  return `<table><tr><th>log</th><th class="n">entries</th><th class="n">withheld</th><th></th></tr>
${rows.join('\n')}</table>
<p>A withheld entry is not given here (it names places, prices or persons that are not this reader's business), but its leaf hash is, so
that the history as a whole can still be checked.</p>`;
}

function objectsSection(objects: readonly ListedObject[]): string {
  const absent = objects.filter((object) => object.state !== 'present');
  if (absent.length === 0) return '';
  const rows = absent
    .slice(0, OBJECT_ROWS_MAX)
    .map(
      ({ digest, role, sizeBytes, state, reason }) =>
        `<tr><td>${escapeHtml(role)}</td><td>${state === 'withdrawn' ? 'withdrawn' : 'kept by the archive'}${reason === undefined ? '' : `: ${escapeHtml(reason)}`}</td><td class="n">${sizeText(sizeBytes)}</td><td><code>${escapeHtml(digest)}</code></td></tr>`,
    );
  const more = absent.length - rows.length;
  return `<h2>Named, but not here</h2>
<table><tr><th>what</th><th>why</th><th class="n">size</th><th>digest</th></tr>
${rows.join('\n')}</table>${more > 0 ? `\n<p>${more} more are in ${OBJECTS_JSON.slice('data/'.length)}.</p>` : ''}`;
}

const FORMATS = `<p>The package is a bag (BagIt 1.0, RFC 8493) in a plain zip file. All texts are UTF-8.</p>
<ul>
<li><code>${LEDGER_DIR}*/entries.jsonl</code>: one entry a line, JSON in canonical form (RFC 8785). <em>seq</em> is its place, <em>subject</em> the
mark of the place it is about, <em>happened</em> when the work was done (EDTF), <em>recordedAt</em> when it was written down, <em>objects</em> the
SHA-256 digests of the files it speaks of.</li>
<li><code>leaf-hashes.txt</code>: for each entry SHA-256 of a zero byte and the line (without its line feed); they are the leaves of a Merkle tree (RFC 6962).</li>
<li><code>checkpoint.txt</code>: name of the log, number of entries, root of the tree in base64, then the signature (Ed25519; C2SP signed-note and
tlog-checkpoint). <code>key.txt</code> is the public key to it.</li>
<li><code>references/*/N.tlog-proof</code>: that entry N stands in another log of the archive, which entries here refer to (who held
which role): place, path and checkpoint (C2SP tlog-proof); beside it the entry, or its hash alone.</li>
<li><code>objects.json</code>: every object named by an entry, and whether it is here.</li>
<li>Marks: site, window, panel, piece, separated by dots. Windows are counted from the axis (I), n and s for the sides, capitals for the upper
storey; panels by row from the bottom and light from the left, as seen from inside; lengths are millimetres.</li>
</ul>`;

function sizeText(sizeBytes: number): string {
  if (sizeBytes < 1000) return `${sizeBytes} B`;
  if (sizeBytes < 1e6) return `${(sizeBytes / 1e3).toFixed(1)} kB`;
  if (sizeBytes < 1e9) return `${(sizeBytes / 1e6).toFixed(1)} MB`;
  return `${(sizeBytes / 1e9).toFixed(1)} GB`;
}
