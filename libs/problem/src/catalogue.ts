/**
 * Every refusal that a caller can act on: code → HTTP status → title.
 *
 * A code is part of the API: once released it keeps its meaning and its status. `detail` is for a
 * person and may change; programs read `type`, `field` and the named members.
 */
export const PROBLEMS = {
  // the request itself
  'request-invalid': { status: 400, title: 'The request does not match the API description' },
  'body-unreadable': { status: 400, title: 'The body cannot be read as JSON' },
  'upload-truncated': { status: 400, title: 'The upload ended before its announced length' },
  'upload-digest-mismatch': { status: 400, title: 'The bytes do not match the announced digest' },
  'sign-in-required': { status: 401, title: 'Sign in first' },
  'sign-in-refused': { status: 401, title: 'Login or password not accepted' },
  'link-spent': { status: 401, title: 'The one-time link is not valid any more' },
  'role-insufficient': { status: 403, title: 'This needs a role that you do not hold here' },
  'token-scope': { status: 403, title: 'This token does not allow that' },
  'cross-origin-refused': { status: 403, title: 'The request came from another page' },
  'demo-only': { status: 403, title: 'Only the demo allows this' },
  'body-too-large': { status: 413, title: 'The body is too large' },
  'entry-too-large': { status: 413, title: 'The entry is too large for the ledger' },
  'media-type-unsupported': { status: 415, title: 'This kind of body is not accepted here' },
  'too-many-attempts': { status: 429, title: 'Too many attempts' },

  // not there, or not for this person: the two look alike
  'route-unknown': { status: 404, title: 'Nothing at this address' },
  'site-unknown': { status: 404, title: 'No site with this id' },
  'window-unknown': { status: 404, title: 'No window with this id' },
  'panel-unknown': { status: 404, title: 'No panel with this id' },
  'piece-unknown': { status: 404, title: 'No piece with this id' },
  'media-unknown': { status: 404, title: 'No picture or document with this id' },
  'rubbing-unknown': { status: 404, title: 'No rubbing with this id' },
  'net-unknown': { status: 404, title: 'No lead drawing with this revision' },
  'placement-unknown': { status: 404, title: 'This picture is not placed on the panel' },
  'finding-unknown': { status: 404, title: 'No finding with this id' },
  'intervention-unknown': { status: 404, title: 'No intervention with this id' },
  'dossier-unknown': { status: 404, title: 'No dossier with this id' },
  'dossier-not-ready': { status: 409, title: 'The dossier is not written yet' },
  'job-unknown': { status: 404, title: 'No job with this id' },
  'person-unknown': { status: 404, title: 'No person with this id' },
  'grant-unknown': { status: 404, title: 'No role with this id' },
  'token-unknown': { status: 404, title: 'No token with this id' },
  'log-unknown': { status: 404, title: 'No log with this id' },
  'entry-unknown': { status: 404, title: 'The log has no such entry' },
  'mark-unknown': { status: 404, title: 'Nothing bears this mark' },
  'upload-offset': { status: 409, title: 'The offset is not where the upload stands' },
  'upload-done': { status: 403, title: 'The upload is complete' },
  'upload-checksum': { status: 460, title: 'The part does not match its checksum' },
  'tus-version': { status: 412, title: 'This version of the upload protocol is not spoken here' },
  'tile-request-unsupported': {
    status: 501,
    title: 'This kind of picture request is not supported',
  },
  'range-outside': { status: 416, title: 'The range lies outside the file' },
  'upload-unknown': { status: 404, title: 'No upload with this id' },
  'tile-unavailable': { status: 404, title: 'The picture has no tiles yet' },

  // against what is already there
  'archive-started': { status: 409, title: 'The archive has its first keeper already' },
  'launcher-missing': { status: 409, title: 'The launcher cannot be reached' },
  'login-taken': { status: 409, title: 'Somebody has this login' },
  'last-keeper': { status: 409, title: 'One keeper must remain' },
  'site-exists': { status: 409, title: 'A site has this code' },
  'window-exists': { status: 409, title: 'A window of this site has this mark' },
  'piece-exists': { status: 409, title: 'A piece of this panel has this number' },
  'panel-holds-findings': { status: 409, title: 'A panel that would go holds findings' },
  'media-attached': { status: 409, title: 'These bytes are already in the archive' },
  'net-signed': { status: 409, title: 'This lead drawing is signed' },
  'net-unsigned': { status: 409, title: 'The panel has no signed lead drawing' },
  'piece-carried': { status: 409, title: 'The piece has been carried over' },
  'finding-closed': { status: 409, title: 'The finding is superseded or withdrawn' },
  'stale-version': { status: 412, title: 'It changed since it was read' },
  'version-required': { status: 428, title: 'Say which version you revise' },
  'idempotency-key-reused': { status: 422, title: 'This Idempotency-Key named another request' },
  'idempotency-key-busy': { status: 409, title: 'This Idempotency-Key is being used right now' },

  // values that cannot be
  'mark-invalid': { status: 422, title: 'The mark does not follow the grammar' },
  'date-invalid': { status: 422, title: 'The date is not EDTF' },
  'drawing-invalid': { status: 422, title: 'The drawing of the window does not close' },
  'geometry-invalid': { status: 422, title: 'The geometry cannot be used' },
  'term-unknown': { status: 422, title: 'The vocabulary has no such term' },
  'operation-unknown': { status: 422, title: 'The vocabulary has no such operation' },
  'subject-unknown': { status: 422, title: 'The subject is not in the archive' },
  'evidence-unknown': { status: 422, title: 'The evidence is not in the archive' },
  'picture-unplaced': { status: 422, title: 'The picture is not placed on the panel' },
  'points-unusable': { status: 422, title: 'The points do not fix the picture' },
  'control-unusable': { status: 422, title: 'The marks do not fix the scale' },
  'rubbing-not-taken': { status: 422, title: 'The record says that no rubbing was taken' },
  'sketch-invalid': { status: 422, title: 'The lead drawing does not close' },
  'cartoon-unusable': { status: 422, title: 'The file is no cartoon that can be taken' },
  'camera-unknown': { status: 422, title: 'The picture does not name its camera' },
  'lens-unreadable': { status: 422, title: 'The target sheet could not be read in the picture' },
  'file-refused': { status: 422, title: 'The file cannot be taken in' },
  'extraction-failed': { status: 422, title: 'No lead drawing could be read from the picture' },
  'proof-unavailable': { status: 422, title: 'No proof for these numbers' },

  // ours
  internal: { status: 500, title: 'The server failed' },
  'archive-unavailable': { status: 503, title: 'The archive cannot write right now' },
} as const satisfies Record<string, { status: number; title: string }>;

export type ProblemCode = keyof typeof PROBLEMS;
