/** Things that people ask of the archive while it is being killed, each with a token of its own. */
import { readFileSync } from 'node:fs';
import { deriveJobId } from '#libs/archive';
import { digestOf } from '#libs/objects';
import type { Client } from '../../support/media-archive.js';
import { askUpload, beginUpload, openPart, sendPart } from '../../support/tus-client.js';
import type { Chance } from './chance.js';

export interface Told {
  /** stands in the entry's text exactly once, however often it was asked */
  readonly token: string;
  readonly kind: ActKind;
  /** undefined for what has no bytes of its own */
  readonly digest: string | undefined;
  /** the day that was claimed, by a phone whose clock may be a day wrong; it is kept as claimed */
  readonly happened: string | undefined;
  state: 'unanswered' | 'answered' | 'refused';
  entry: { logId: string; seq: number } | undefined;
  /** the job that the answer promised */
  jobId: string | undefined;
  /** asks again as the same person would after the line was back */
  again(client: Client): Promise<void>;
}

export type ActKind =
  | 'alias'
  | 'finding'
  | 'document'
  | 'photograph'
  | 'upload'
  | 'dossier'
  | 'extraction';

export interface Place {
  readonly siteId: string;
  readonly panelIds: readonly string[];
  /** asks for the drawing of a rubbing that is there */
  readonly extraction: { readonly path: string; readonly body: object };
}

/** What leaves no text of its own in the history, jobs, by the entry that asks for it. */
const WORDLESS = { dossier: 'dossier.ask', extraction: 'rubbing.ask-extraction' } as const;

export type JobAct = keyof typeof WORDLESS;

/** Queue in which each waits. */
export const JOBS_OF_ACTS = {
  dossier: 'dossier.write',
  extraction: 'rubbing.extract',
} as const satisfies Record<JobAct, string>;

export function isWordless(kind: ActKind): kind is JobAct {
  return kind in WORDLESS;
}

export function entryTypeOf(kind: JobAct): string {
  return WORDLESS[kind];
}

/** A document of no pages: it is kept as it is, so nothing but the intake takes time. */
function documentBytes(dice: Chance, token: string): Buffer {
  const body = Buffer.alloc(dice.whole(20_000, 400_000), `% ${token}\n`);
  return Buffer.concat([Buffer.from('%PDF-1.4\n'), body, Buffer.from('\ntrailer\n<<>>\n%%EOF\n')]);
}

const PHOTOGRAPH = readFileSync(
  new URL('../../../fixtures/images/orientation-6.jpg', import.meta.url),
);

function bytesFor(kind: ActKind, token: string, dice: Chance): Buffer | undefined {
  if (kind === 'document') return documentBytes(dice, token);
  // decoders end at the end-of-image marker: what follows makes the bytes another object
  return kind === 'photograph' ? Buffer.concat([PHOTOGRAPH, Buffer.from(token)]) : undefined;
}

const DAY_MS = 86_400_000;

function claimedDay(dice: Chance): string {
  return new Date(Date.now() + dice.whole(-1, 1) * DAY_MS).toISOString().slice(0, 10);
}

/** Makes one act; it is not asked yet. */
export function madeAct(kind: ActKind, token: string, place: Place, dice: Chance): Told {
  if (kind === 'upload') return madeUpload(token, place, dice);
  const bytes = bytesFor(kind, token, dice);
  const happened = kind === 'finding' ? claimedDay(dice) : undefined;
  const ask = request(kind, token, place, dice, { bytes, happened });
  const told: Told = {
    token,
    kind,
    digest: bytes === undefined ? undefined : digestOf(bytes),
    happened,
    state: 'unanswered',
    entry: undefined,
    jobId: undefined,
    async again(client) {
      const response = await client.fetch(ask.path, {
        method: ask.method,
        headers: { 'Idempotency-Key': `key-${token}`, 'Content-Type': ask.type },
        body: ask.body,
      });
      await heard(told, response);
    },
  };
  return told;
}

interface Ask {
  readonly method: string;
  readonly path: string;
  readonly type: string;
  readonly body: Uint8Array | string;
}

function request(
  kind: Exclude<ActKind, 'upload'>,
  token: string,
  { siteId, panelIds, extraction }: Place,
  dice: Chance,
  { bytes, happened }: { bytes: Uint8Array | undefined; happened: string | undefined },
): Ask {
  const json = (path: string, body: object): Ask => ({
    method: 'POST',
    path,
    type: 'application/json',
    body: JSON.stringify(body),
  });
  switch (kind) {
    case 'alias':
      return json(`/v1/sites/${siteId}/aliases`, {
        mark: 'SLM.wI',
        scheme: 'count of the survey',
        text: token,
        source: 'trial',
      });
    case 'finding': {
      const x = dice.whole(10, 200);
      const y = dice.whole(10, 300);
      return json(`/v1/panels/${dice.pick(panelIds)}/findings`, {
        term: 'glass.crack.simple',
        face: 'inside',
        happened,
        geometry: {
          kind: 'line',
          xyMm: [
            [x, y],
            [x + dice.whole(1, 50), y + 20],
          ],
        },
        note: token,
      });
    }
    case 'dossier':
      return json(`/v1/sites/${siteId}/dossiers`, {
        subject: 'SLM.wI.1a',
        kind: dice.pick(['keepers', 'handed-out']),
      });
    case 'extraction':
      return json(extraction.path, extraction.body);
    case 'document':
      return file(siteId, `${token}.pdf`, kind, 'application/pdf', bytes!);
    case 'photograph':
      return file(siteId, `${token}.jpg`, kind, 'image/jpeg', bytes!);
  }
}

function file(siteId: string, name: string, kind: string, type: string, body: Uint8Array): Ask {
  const path = `/v1/sites/${siteId}/media?fileName=${name}&kind=${kind}`;
  return { method: 'PUT', path, type, body };
}

async function heard(told: Told, response: Response): Promise<void> {
  const text = await response.text();
  // 5xx says "send it again": nothing was acknowledged, and nothing may be half there
  if (response.status >= 500) throw new Error(`${told.kind}: ${response.status} ${text}`);
  if (response.status >= 400) {
    told.state = 'refused';
    throw new Error(`${told.kind} ${told.token} was refused: ${response.status} ${text}`);
  }
  const body = JSON.parse(text) as {
    entry: { logId: string; seq: number };
    mediaId?: string;
    jobId?: string;
  };
  if (told.entry !== undefined && told.entry.seq !== body.entry.seq) {
    throw new Error(
      `${told.token} was answered as entry ${told.entry.seq}, then ${body.entry.seq}`,
    );
  }
  told.entry = body.entry;
  told.jobId = told.kind === 'photograph' ? deriveJobId(body.mediaId!) : body.jobId;
  told.state = 'answered';
}

/** A phone's upload in parts, some of which break off; it goes on from what the server says it has. */
function madeUpload(token: string, { siteId }: Place, dice: Chance): Told {
  const bytes = documentBytes(dice, token);
  const metadata = { siteId, fileName: `${token}.pdf`, kind: 'document' };
  let where: string | undefined;
  const told: Told = {
    token,
    kind: 'upload',
    digest: digestOf(bytes),
    happened: undefined,
    state: 'unanswered',
    entry: undefined,
    jobId: undefined,
    async again(client) {
      where ??= await begun(client, bytes.length, metadata, token);
      for (;;) {
        const head = await askUpload(client, where);
        if (head.status !== 200) throw new Error(`upload: HEAD ${head.status}`);
        if (head.headers.get('mullion-media-id') !== null) break;
        const offset = Number(head.headers.get('upload-offset'));
        const end = Math.min(bytes.length, offset + dice.whole(10_000, bytes.length));
        const part = bytes.subarray(offset, end);
        if (dice.next() < 0.1) {
          // the line breaks: within the part, or between the last byte and the answer
          const sent = dice.next() < 0.5 ? part.length : dice.whole(0, part.length);
          const cut = { sent: part.subarray(0, sent), announcedBytes: part.length };
          (await openPart(client, where, offset, cut)).cut();
          continue;
        }
        const answer = await sendPart(client, where, offset, part);
        // 409: the part that broke off is still being put away
        if (answer.status !== 204 && answer.status !== 409 && answer.status !== 423) {
          throw new Error(`upload: PATCH ${answer.status} ${await answer.text()}`);
        }
      }
      told.state = 'answered';
    },
  };
  return told;
}

async function begun(
  client: Client,
  lengthBytes: number,
  metadata: Readonly<Record<string, string>>,
  token: string,
): Promise<string> {
  const key = { 'Idempotency-Key': `key-${token}` };
  const response = await beginUpload(client, lengthBytes, metadata, key);
  if (response.status !== 201) throw new Error(`upload: POST ${response.status}`);
  return new URL(response.headers.get('location')!, client.url).pathname;
}
