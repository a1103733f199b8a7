import {
  argon2Sync,
  createDecipheriv,
  createHmac,
  createPrivateKey,
  createPublicKey,
  diffieHellman,
  generateKeyPairSync,
} from 'node:crypto';
import {
  passphraseRecipientOf,
  sheetRecipientOf,
  unwrapKey,
  type WrappedKey,
  wrapKey,
} from './recipients.js';

const FILE_KEY = Uint8Array.from({ length: 32 }, (_, i) => i);
const INFO = Buffer.from('mullion backup: key of the sealed part, v1');

/** RFC 9180 written out a second time, from its text: SetupBaseR and one Open. */
function openByTheText(secretRaw: Buffer, { enc, wrapped }: WrappedKey): Buffer {
  const kemId = Buffer.from('KEM\x00\x20', 'latin1');
  // section 7: DHKEM(X25519, HKDF-SHA256) 0x0020, HKDF-SHA256 0x0001, AES-256-GCM 0x0002
  const suiteId = Buffer.from('HPKE\x00\x20\x00\x01\x00\x02', 'latin1');
  const extract = (suite: Buffer, salt: Buffer, label: string, ikm: Buffer) =>
    createHmac('sha256', salt)
      .update(Buffer.concat([Buffer.from('HPKE-v1'), suite, Buffer.from(label), ikm]))
      .digest();
  const expand = (suite: Buffer, prk: Buffer, label: string, info: Buffer, length: number) => {
    const labeled = Buffer.concat([
      Buffer.from([length >> 8, length & 255]),
      Buffer.from('HPKE-v1'),
      suite,
      Buffer.from(label),
      info,
    ]);
    return createHmac('sha256', prk)
      .update(Buffer.concat([labeled, Buffer.from([1])]))
      .digest()
      .subarray(0, length);
  };
  const privateKey = createPrivateKey({
    key: Buffer.concat([Buffer.from('302e020100300506032b656e04220420', 'hex'), secretRaw]),
    format: 'der',
    type: 'pkcs8',
  });
  const encBytes = Buffer.from(enc, 'base64');
  const publicKey = createPublicKey({
    key: Buffer.concat([Buffer.from('302a300506032b656e032100', 'hex'), encBytes]),
    format: 'der',
    type: 'spki',
  });
  const own = createPublicKey(privateKey).export({ format: 'der', type: 'spki' }).subarray(-32);
  const dh = diffieHellman({ privateKey, publicKey });
  const shared = expand(
    kemId,
    extract(kemId, Buffer.alloc(0), 'eae_prk', dh),
    'shared_secret',
    Buffer.concat([encBytes, own]),
    32,
  );
  const context = Buffer.concat([
    Buffer.from([0]), // mode_base
    extract(suiteId, Buffer.alloc(0), 'psk_id_hash', Buffer.alloc(0)),
    extract(suiteId, Buffer.alloc(0), 'info_hash', INFO),
  ]);
  const secret = extract(suiteId, shared, 'secret', Buffer.alloc(0));
  const key = expand(suiteId, secret, 'key', context, 32);
  const nonce = expand(suiteId, secret, 'base_nonce', context, 12);
  const sealed = Buffer.from(wrapped, 'base64');
  const cipher = createDecipheriv('aes-256-gcm', key, nonce);
  cipher.setAuthTag(sealed.subarray(-16));
  return Buffer.concat([cipher.update(sealed.subarray(0, -16)), cipher.final()]);
}

describe('who can open a backup', () => {
  it('is the holder of the recovery sheet, by HPKE as RFC 9180 writes it', async () => {
    const sheet = generateKeyPairSync('x25519');
    const wrapped = await wrapKey(FILE_KEY, sheetRecipientOf(sheet.publicKey));
    expect(await unwrapKey([wrapped], { sheetKey: sheet.privateKey })).toEqual(FILE_KEY);
    const raw = sheet.privateKey.export({ format: 'der', type: 'pkcs8' }).subarray(-32);
    expect(openByTheText(raw, wrapped)).toEqual(Buffer.from(FILE_KEY));
    const other = generateKeyPairSync('x25519');
    expect(await unwrapKey([wrapped], { sheetKey: other.privateKey })).toBeUndefined();
  });

  it('is whoever knows the passphrase, in whichever way its letters are composed', async () => {
    const wrapped = await wrapKey(FILE_KEY, await passphraseRecipientOf('fenêtre à meneaux'));
    const decomposed = 'fenêtre à meneaux'.normalize('NFD');
    expect(await unwrapKey([wrapped], { passphrase: decomposed })).toEqual(FILE_KEY);
    expect(await unwrapKey([wrapped], { passphrase: 'fenetre a meneaux' })).toBeUndefined();
  });

  // argon2 of Node's own crypto (OpenSSL), from 24.7 on
  const withArgon2 = typeof argon2Sync === 'function' ? it : it.skip;
  withArgon2('derives the passphrase’s key by argon2id as OpenSSL does', async () => {
    const recipient = await passphraseRecipientOf('a passphrase for the test');
    const wrapped = await wrapKey(FILE_KEY, recipient);
    const seed = argon2Sync('argon2id', {
      message: 'a passphrase for the test',
      nonce: Buffer.from(recipient.salt, 'base64'),
      parallelism: recipient.lanes,
      tagLength: 32,
      memory: recipient.memoryKib,
      passes: recipient.passes,
    });
    // RFC 9180 section 7.1.3: DeriveKeyPair for X25519
    const kemId = Buffer.from('KEM\x00\x20', 'latin1');
    const prk = createHmac('sha256', Buffer.alloc(32))
      .update(Buffer.concat([Buffer.from('HPKE-v1'), kemId, Buffer.from('dkp_prk'), seed]))
      .digest();
    const sk = createHmac('sha256', prk)
      .update(
        Buffer.concat([
          Buffer.from([0, 32]),
          Buffer.from('HPKE-v1'),
          kemId,
          Buffer.from('sk'),
          Buffer.from([1]),
        ]),
      )
      .digest();
    expect(openByTheText(sk, wrapped)).toEqual(Buffer.from(FILE_KEY));
  });
});
