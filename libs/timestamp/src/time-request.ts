/**
 * Asking a time authority for a token over some bytes, and taking the token out of its answer.
 *
 * Source: RFC 3161 section 2.4.1 (request), 2.4.2 (answer); carried as `application/timestamp-query`
 * and `application/timestamp-reply` (section 3.4).
 */
import * as asn1js from 'asn1js';
import { AlgorithmIdentifier, MessageImprint, TimeStampReq, TimeStampResp } from 'pkijs';
import { sha256 } from '#libs/ledger';
import { infoOf, SHA256_OID, signedDataOf } from './token-form.js';

export const TIME_QUERY_TYPE = 'application/timestamp-query';

export class TimeStampError extends Error {
  override readonly name = 'TimeStampError';
}

/** RFC 3161 section 2.4.2, PKIStatus. */
const GRANTED = [0, 1];

/**
 * DER of a request for a token over SHA-256 of the bytes, certificate included.
 * @param nonce random, so that an old token cannot be handed out for this request
 */
export function timeStampRequest(data: Uint8Array, nonce: Uint8Array): Uint8Array {
  const request = new TimeStampReq({
    version: 1,
    messageImprint: new MessageImprint({
      hashAlgorithm: new AlgorithmIdentifier({
        algorithmId: SHA256_OID,
        algorithmParams: new asn1js.Null(),
      }),
      hashedMessage: new asn1js.OctetString({ valueHex: new Uint8Array(sha256(data)).buffer }),
    }),
    nonce: nonceInteger(nonce),
    certReq: true,
  });
  return new Uint8Array(request.toSchema().toBER());
}

/**
 * The token (DER of a CMS SignedData) in an authority's answer.
 * @throws TimeStampError when the authority refused, or answered another request. Signature and
 * certificates are for `checkTimeToken`.
 */
export function tokenOfAnswer(answer: Uint8Array, nonce: Uint8Array): Uint8Array {
  let response: TimeStampResp;
  let token: Uint8Array | undefined;
  try {
    const read = asn1js.fromBER(new Uint8Array(answer));
    response = new TimeStampResp({ schema: read.result });
    const parts = (read.result as asn1js.Sequence).valueBlock.value;
    // the bytes as they came: written anew they might not be the ones that were signed
    token = parts[1]?.valueBeforeDecodeView.slice();
  } catch (cause) {
    throw new TimeStampError('the authority answered no time-stamp response (RFC 3161)', { cause });
  }
  const { status } = response;
  if (!GRANTED.includes(status.status)) {
    const says = status.statusStrings?.map((text) => text.valueBlock.value).join('; ') ?? '';
    throw new TimeStampError(
      `the authority refused with status ${status.status}${says === '' ? '' : `: ${says}`}`,
    );
  }
  if (token === undefined) throw new TimeStampError('the authority granted a token but sent none');
  const info = infoOf(signedDataOf(token));
  const told = info.nonce?.valueBlock.valueHexView;
  const asked = nonceInteger(nonce).valueBlock.valueHexView;
  if (told === undefined || Buffer.compare(told, asked) !== 0) {
    throw new TimeStampError('the token answers another request: its nonce is not ours');
  }
  return token;
}

/** Positive and without leading zeros, as DER wants an INTEGER. */
function nonceInteger(nonce: Uint8Array): asn1js.Integer {
  const bytes = new Uint8Array(nonce);
  bytes[0] = (bytes[0]! & 0x3f) | 0x40;
  return new asn1js.Integer({ valueHex: bytes.buffer });
}
