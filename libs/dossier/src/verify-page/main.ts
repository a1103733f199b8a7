/**
 * The program of verify.html: reads the chosen zip file or folder, checks it, says what it found.
 * Only text nodes are written: what a dossier says is never taken for markup.
 */

import { type CheckProgress, checkDossier, TrustError, unreadable } from '../check-dossier.js';
import { pureHashing } from '../digests.js';
import { type DossierReport, verdictSentence } from '../report.js';
import { type DossierSource, zipSource } from '../source.js';
import { blobAccess, folderSource, type PickedFile } from './picked.js';

// The few things this page needs of the DOM; the project's types leave the DOM out on purpose.
interface PageElement {
  textContent: string | null;
  hidden: boolean;
  value: string;
  files: Iterable<PickedFile> | null;
  dataset: Record<string, string>;
  classList: { toggle(name: string, force: boolean): void };
  append(...children: (PageElement | string)[]): void;
  replaceChildren(...children: PageElement[]): void;
  addEventListener(type: string, listener: (event: PageEvent) => void): void;
}
interface PageEvent {
  preventDefault(): void;
  dataTransfer?: { files: Iterable<PickedFile> };
}
declare const document: {
  getElementById(id: string): PageElement | null;
  createElement(name: string): PageElement;
};

const LISTED_MAX = 100;

const [form, fingerprint, problem, drop, zip, folder, progress, verdict, findings, detail] = [
  'form',
  'fingerprint',
  'fingerprint-problem',
  'drop',
  'zip',
  'folder',
  'progress',
  'verdict',
  'findings',
  'detail',
].map((id) => document.getElementById(id)!) as [
  PageElement,
  PageElement,
  PageElement,
  PageElement,
  PageElement,
  PageElement,
  PageElement,
  PageElement,
  PageElement,
  PageElement,
];

/** The newest choice: an older check that ends later must not be shown. */
let running = 0;

async function check(files: readonly PickedFile[]): Promise<void> {
  if (files.length === 0) return;
  const mine = ++running;
  problem.textContent = '';
  verdict.hidden = true;
  findings.replaceChildren();
  detail.replaceChildren();
  progress.textContent = 'Reading …';
  try {
    const report = await reportOn(files, ({ doneBytes, totalBytes }) => {
      if (mine === running)
        progress.textContent = `Reading … ${Math.round((100 * doneBytes) / Math.max(1, totalBytes))} %`;
    });
    if (mine === running) show(report);
  } catch (cause) {
    if (mine !== running) return;
    if (cause instanceof TrustError) problem.textContent = cause.message;
    else show(unreadable(cause instanceof Error ? cause.message : String(cause)));
  } finally {
    if (mine === running) progress.textContent = '';
  }
}

async function reportOn(
  files: readonly PickedFile[],
  onProgress: (progress: CheckProgress) => void,
): Promise<DossierReport> {
  const first = files[0]!;
  const isFolder = files.length > 1 || (first.webkitRelativePath ?? '') !== '';
  const source: DossierSource = isFolder ? folderSource(files) : await zipSource(blobAccess(first));
  const typed = fingerprint.value.trim();
  return checkDossier(source, typed === '' ? {} : { fingerprint: typed }, pureHashing, onProgress);
}

function show(report: DossierReport): void {
  verdict.textContent = verdictSentence(report);
  verdict.dataset['verdict'] = report.verdict;
  verdict.hidden = false;
  findings.replaceChildren(
    ...report.findings.slice(0, LISTED_MAX).map(({ reason }) => element('li', reason)),
  );
  const lines = [
    ...report.logs.map(
      (log) =>
        `${log.origin}: ${log.size} entries${log.withheld > 0 ? `, ${log.withheld} of them withheld` : ''}`,
    ),
    ...report.roles.map(
      ({ actorId, role, index, entries }) =>
        `${actorId} wrote ${entries} entries as ${role}, by entry ${index} of the studio's log`,
    ),
    `${report.files} files; objects: ${report.objects.present} here, ${report.objects.listedOnly} only listed, ${report.objects.withdrawn} withdrawn`,
    ...report.keyRemarks.slice(0, LISTED_MAX),
    ...report.remarks.slice(0, LISTED_MAX),
  ];
  detail.replaceChildren(...lines.map((line) => element('p', line)));
}

function element(name: string, text: string): PageElement {
  const made = document.createElement(name);
  made.append(text);
  return made;
}

function checkAgain(input: PageElement): () => void {
  return () => {
    void check([...(input.files ?? [])]);
  };
}

form.addEventListener('submit', (event) => {
  event.preventDefault();
});
zip.addEventListener('change', checkAgain(zip));
folder.addEventListener('change', checkAgain(folder));
fingerprint.addEventListener('change', () => {
  const chosen = [...(zip.files ?? [])];
  void check(chosen.length > 0 ? chosen : [...(folder.files ?? [])]);
});
for (const [type, isOver] of [
  ['dragover', true],
  ['dragleave', false],
  ['drop', false],
] as const) {
  drop.addEventListener(type, (event) => {
    event.preventDefault();
    drop.classList.toggle('over', isOver);
    if (type === 'drop') void check([...(event.dataTransfer?.files ?? [])]);
  });
}
