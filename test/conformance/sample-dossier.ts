/** A small dossier of the invented Sallowmere Chapel, made by our writer, for validators that are not ours. */
import { createHash, generateKeyPairSync, sign } from 'node:crypto';
import { type DossierInput, dossierBytes } from '#libs/dossier';
import {
  type Entry,
  entryBytes,
  Frontier,
  formatVerifierKey,
  leafHash,
  signCheckpoint,
  verifierKey,
} from '#libs/ledger';

const ARCHIVE_ID = '0b4a6c1e-7d2f-4a53-9e10-5f2c8a7b3d94';
const ORIGIN = `mullion/${ARCHIVE_ID}/site/slm`;

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const digest = (bytes: Uint8Array): string =>
  `sha256:${createHash('sha256').update(bytes).digest('hex')}`;

export async function sampleDossier(): Promise<{ zip: Buffer; fingerprint: string }> {
  const photograph = utf8(
    'stands for the bytes of a photograph: the name of its file is Dach & Söhne\n',
  );
  const drawing = utf8('{"format":"mullion-net/1"}\n');
  const { publicKey, privateKey } = generateKeyPairSync('ed25519');
  const signer = {
    publicKey: new Uint8Array(Buffer.from(publicKey.export({ format: 'jwk' }).x!, 'base64url')),
    sign: (message: Uint8Array): Uint8Array => new Uint8Array(sign(null, message, privateKey)),
  };
  const entries = [
    entry(0, 'site.add', {}),
    entry(1, 'media.attach', { caption: 'as found' }, [
      { digest: digest(photograph), role: 'original' },
    ]),
    entry(2, 'net.revise', { revision: 1 }, [{ digest: digest(drawing), role: 'net' }]),
  ].map(entryBytes);
  const frontier = new Frontier();
  for (const bytes of entries) frontier.append(leafHash(bytes));
  const input: DossierInput = {
    kind: 'keepers',
    bagName: 'slm.w1.1a-keepers',
    subject: 'SLM.wI.1a',
    archive: `mullion/${ARCHIVE_ID}`,
    signer,
    about: { title: 'Sallowmere Chapel, west window, panel 1a', studio: 'Invented studio' },
    madeAt: '2026-11-25T09:00:00Z',
    program: 'mullion 0.1.0',
    logs: [
      {
        checkpointNote: await signCheckpoint(
          { origin: ORIGIN, size: entries.length, root: frontier.root() },
          signer,
        ),
        key: formatVerifierKey(verifierKey(ORIGIN, signer.publicKey)),
        entries: () => entries.map((bytes) => ({ bytes })),
      },
    ],
    files: [
      {
        path: 'records/SLM.wI.1a condition.txt',
        open: () => [utf8('Condition record, for the check.\n')],
      },
    ],
    objects: [
      present(photograph, 'original', 'objects/photograph.bin'),
      present(drawing, 'net', 'objects/net.json'),
    ],
  };
  const parts: Uint8Array[] = [];
  let fingerprint = '';
  for await (const part of dossierBytes(input, (summary) => (fingerprint = summary.fingerprint)))
    parts.push(part);
  return { zip: Buffer.concat(parts), fingerprint };
}

function present(bytes: Uint8Array, role: string, path: string): DossierInput['objects'][number] {
  return {
    digest: digest(bytes),
    sizeBytes: bytes.length,
    role,
    state: 'present',
    path,
    open: () => [bytes],
  };
}

function entry(
  seq: number,
  type: string,
  payload: Entry['payload'],
  objects: Entry['objects'] = [],
): Entry {
  return {
    v: 1,
    log: ORIGIN,
    seq,
    type,
    subject: 'SLM.wI.1a',
    actorId: 'p-1',
    happened: '2026-11-25',
    recordedAt: `2026-11-25T08:00:0${seq}.000Z`,
    payload,
    objects,
    supersedes: null,
    refs: [],
  };
}
