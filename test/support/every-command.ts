/**
 * One story in which every kind of change is made at least once, run on the write path itself: for
 * tests that need an archive with every type of entry in it.
 */
import { createHash, createPublicKey } from 'node:crypto';
import { readFileSync } from 'node:fs';
import {
  type Archive,
  addAlias,
  addCrate,
  addPerson,
  addSite,
  addWindow,
  answerFlag,
  askDossier,
  askExtraction,
  askLensCalibration,
  attachMedia,
  carryOver,
  describeBackground,
  describeMedia,
  describePanel,
  describePiece,
  describeSite,
  describeTechnique,
  disablePerson,
  endDevice,
  eraseName,
  erasePerson,
  findRow,
  findRows,
  getNet,
  grantRole,
  handOver,
  importNet,
  keepDossier,
  keepLensCalibration,
  layPicture,
  liftPieces,
  pairDevice,
  protectOpening,
  rebuildCheck,
  rebuildSign,
  receive,
  recordCondition,
  recordDestruction,
  recordDismantling,
  recordFinding,
  recordIntervention,
  recordMovement,
  recordRefix,
  recordRemoval,
  recordRubbing,
  recordScrub,
  redrawWindow,
  registerWitnessed,
  releaseWitnessed,
  reviseFinding,
  reviseNet,
  setPassword,
  signNet,
  startArchive,
  storeExtractedNet,
  tracePiece,
  uuidOfName,
  withdrawCondition,
  withdrawFinding,
  withdrawMedia,
  withdrawMovement,
  withdrawRole,
} from '#libs/archive';
import { formatVerifierKey, verifierKey } from '#libs/ledger';
import { TWO_LIGHTS, twoPieces } from './api-archive.js';
import { type By, useCampaignCommands } from './every-campaign-command.js';
import { useGlassCommands } from './every-glass-command.js';
import { useShardCommands } from './every-shard-command.js';
import { useSurveyCommands } from './every-survey-command.js';
import { PUBLISHED_KEY } from './published-key.js';

const PASSWORD = 'wax on lining paper';
const CARTOON = new URL('../../fixtures/cartoons/light.svg', import.meta.url);

export interface Story {
  readonly keeperId: string;
  readonly glazierId: string;
  readonly siteId: string;
  readonly windowId: string;
  readonly panelId: string;
  /** a picture under the panel, with an author */
  readonly mediaId: string;
  readonly rubbingId: string;
  readonly interventionId: string;
}

/** A code that a phone may spend, as the desk makes one. */
async function shownCode(archive: Archive, personId: string, siteId: string): Promise<string> {
  const digest = createHash('sha256').update(`code for ${siteId}`).digest('hex');
  await archive.reads.run(
    `INSERT INTO pairing (secret_digest, pairing_id, person_id, name, site_id, role, created_at, expires_at)
     VALUES ($1, $2, $3, 'studio phone', $2, 'recorder', now(), now() + interval '5 minutes')`,
    [digest, siteId, personId],
  );
  return digest;
}

/**
 * @param keeperId of the first keeper; one who is there already is left as they are
 * @param code of the site, for a second story in one archive
 */
export async function useEveryCommand(
  archive: Archive,
  keeperId: string,
  code = 'SLM',
): Promise<Story> {
  const by: By = async (command, body, ifMatch) => {
    const asking = {
      actorId: keeperId,
      ...(ifMatch === undefined ? {} : { ifMatch: `${ifMatch}` }),
    };
    return (await archive.run(command, body, asking)).answer;
  };
  const { reads, objects } = archive;
  if ((await reads.first('SELECT 1 FROM person WHERE person_id = $1', [keeperId])) === undefined) {
    await by(startArchive, { displayName: 'Studio head', login: 'head', password: PASSWORD });
  }

  const site = await by(addSite, { code, name: 'Sallowmere Chapel', scheme: 'church' });
  const { siteId } = site;
  await by(
    describeSite,
    { siteId, name: 'Sallowmere Chapel', place: 'by the ferry' },
    site.version,
  );
  const glazier = await by(addPerson, {
    displayName: `Glazier of ${code}`,
    login: `glazier-${code.toLowerCase()}`,
    roles: [{ siteId, role: 'recorder' }],
  });
  const glazierId = glazier.personId;
  await by(setPassword, { personId: glazierId, password: PASSWORD });
  await by(disablePerson, { personId: glazierId, disabled: true });
  await by(disablePerson, { personId: glazierId, disabled: false });
  const { grantId } = await by(grantRole, { personId: glazierId, siteId, role: 'conservator' });
  await by(withdrawRole, { personId: glazierId, grantId });
  const secretDigest = await shownCode(archive, keeperId, siteId);
  const { deviceId } = await by(pairDevice, { secretDigest });
  await by(endDevice, { deviceId });

  const window = await by(addWindow, {
    siteId,
    mark: 'wI',
    title: 'West window',
    drawing: TWO_LIGHTS,
  });
  const { windowId } = window;
  await by(addAlias, { siteId, mark: 'wI', scheme: 'survey 1978', text: '4', source: 'its plan' });
  const panelOf = async (mark: string) => (await findRow(reads, 'panel', { windowId, mark }))!;
  const { panelId } = await panelOf('1a');
  await by(
    describePanel,
    { panelId, shows: 'a ferryman', workState: 'out' },
    Number((await panelOf('1a')).version),
  );
  await by(
    describePanel,
    { panelId, workState: 'on-bench' },
    Number((await panelOf('1a')).version),
  );

  const attach = async (name: string, subjects: string[]) => {
    const bytes = new TextEncoder().encode(`the bytes of ${name} of ${code}`);
    const file = {
      ...(await objects.put(bytes)),
      contentType: 'image/jpeg',
      widthPx: 1240,
      heightPx: 930,
      orientation: 1,
      exif: { open: { Make: 'Anon', Model: 'Pocket 3', FocalLength: 4.2 }, keptInOriginal: [] },
      notes: [],
    };
    const said = { kind: 'photograph', stage: 'before', author: `Surveyor of ${code}` };
    return by(attachMedia, { siteId, fileName: name, subjects, file, ...said });
  };
  const picture = await attach('panel.jpg', ['wI.1a']);
  const { mediaId } = picture;
  await by(
    describeMedia,
    { mediaId, kind: 'photograph', author: `Surveyor of ${code}`, note: 'in raking light' },
    picture.version,
  );
  const points = [
    [0, 0],
    [400, 0],
    [400, 300],
    [0, 300],
  ].map(([x, y]) => ({ imageXyPx: [x! * 2 + 5, y! * 2 + 5], panelXyMm: [x!, y!] }));
  await by(layPicture, { panelId, mediaId, points });
  await by(layPicture, { panelId, mediaId, points: points.slice().reverse() });

  const ringMm = [
    [10, 10],
    [190, 10],
    [190, 290],
    [10, 290],
  ];
  const traced = await by(tracePiece, { panelId, said: { ringMm, shows: 'a face' } });
  await by(describeTechnique, {
    pieceId: traced.pieceId,
    layers: [{ is: 'glass', glass: 'crown' }],
  });
  const line = {
    kind: 'line',
    xyMm: [
      [20, 20],
      [20, 120],
    ],
  }; // prettier-ignore
  const crack = { term: 'glass.crack.simple', face: 'inside', geometry: line };
  await by(recordFinding, { panelId, ...crack, evidence: [mediaId], note: 'on the tracing' });

  const { rubbingId } = await by(recordRubbing, {
    panelId,
    conditions: { paintTested: true, looseAreas: 'none', panelSupported: true },
    sheet: {
      medium: 'heelball on lining paper',
      face: 'inside',
      takenBy: `Glazier of ${code}`,
      shelf: 'drawer 4',
    },
    happened: '2026-03',
  });
  await by(recordRubbing, { panelId, conditions: { notRubbedBecause: 'paint is loose' } });
  const control = { kind: 'scanner', dpi: 300 };
  await by(askExtraction, { rubbingId, pictures: [{ mediaId, control, taps: [] }] });
  const drawn = await by(reviseNet, { panelId, sketch: twoPieces(), note: 'by hand' }, 0);
  const net = await getNet(objects, drawn.digest);
  await by(storeExtractedNet, {
    panelId,
    rubbingId,
    mediaIds: [mediaId],
    net: { ...net, madeBy: { name: 'rubbing', version: '1' } },
    rectified: {
      ...(await objects.put(new TextEncoder().encode(`the flattened sheet of ${code}`))),
      widthPx: 400,
      heightPx: 300,
      imageFromPanel: [1, 0, 0, 0, 1, 0, 0, 0, 1],
    },
    placements: [{ mediaId, imageFromPanel: [2, 0, 5, 0, 2, 5, 0, 0, 1], points: [], rmsMm: 0.1 }],
  });
  await by(reviseNet, { panelId, sketch: twoPieces(), note: 'a second look' }, 2);
  await by(signNet, { panelId, revision: 3 });
  const pieces = await findRows(reads, 'piece', { panelId, provisional: false });
  const { pieceId } = pieces.find(({ mark }) => mark === '1')!;
  const match = { provisionalPieceId: traced.pieceId, pieceId };
  await by(carryOver, { panelId, matches: [match] });
  const piece = (await findRow(reads, 'piece', { pieceId }))!;
  await by(describePiece, { pieceId, glass: 'pot metal' }, Number(piece.version));
  await useGlassCommands(by, reads, { panelId, pieces: ['2', '1'] });

  const shards = [await attach('1s1.jpg', ['wI.1a.1s1']), await attach('1s2.jpg', ['wI.1a.1s2'])];
  await useShardCommands(by, {
    panelId,
    piece: '1',
    mediaIds: [shards[0]!.mediaId, shards[1]!.mediaId],
  });

  const found = await by(recordFinding, { panelId, ...crack });
  const longer = Array.from({ length: 900 }, (_, i) => [i / 9 + 20, (i % 7) + 20]);
  await by(
    reviseFinding,
    { findingId: found.findingId, ...crack, geometry: { kind: 'line', xyMm: longer } },
    found.version,
  );
  const wrong = await by(recordFinding, { panelId, ...crack });
  await by(withdrawFinding, { findingId: wrong.findingId, reason: 'recorded twice' });
  const said = { panelId, reason: 'the leads are slack at the foot', happened: '2019-05' };
  await by(recordCondition, { ...said, conditionClass: 2 });
  const early = await by(recordCondition, { ...said, conditionClass: 'not-accessible' });
  await by(withdrawCondition, { conditionId: early.conditionId, reason: 'it was the next panel' });
  const keptBy = { siteId, mark: 'wI', keeper: 'the trustees of the chapel' };
  const known = await by(describeBackground, keptBy);
  await by(
    describeBackground,
    {
      ...keptBy,
      protection: 'listed, second grade',
      made: { happened: '1903~', by: 'a workshop of the town', source: 'inscription in 1a' },
      technique: 'pot and flashed glass, painted, stained',
    },
    known.version,
  );
  const { version: techniqueVersion } = (await findRow(reads, 'piece_technique', { pieceId }))!;
  await useSurveyCommands(by, {
    siteId,
    windowId,
    panelId,
    pieceId,
    mediaId,
    techniqueVersion: Number(techniqueVersion),
  });
  const { interventionId } = await by(recordIntervention, {
    siteId,
    subjects: ['wI.1a.1'],
    operation: 'bond.epoxy',
    byText: `Bonder of ${code}`,
    byRole: 'conservator',
    happened: '1998~',
    detail: { parts: 2, batch: '7' },
    images: [mediaId],
  });

  await useCampaignCommands(archive, by, { siteId, glazierId, panelId, code });

  const painter = await by(addPerson, {
    displayName: `Painter of ${code}`,
    login: `painter-${code.toLowerCase()}`,
    roles: [{ siteId, role: 'conservator' }],
  });
  for (const byText of [`Painter of ${code}`, `Visitor to ${code}`]) {
    await by(recordIntervention, {
      siteId,
      subjects: ['wI.1a'],
      operation: 'bond.epoxy',
      byText,
      happened: '2026',
    });
  }
  await by(erasePerson, { personId: painter.personId, reason: 'asked for in writing' });
  await by(eraseName, { name: `Visitor to ${code}`, reason: 'asked for by telephone' });

  const { crateId } = await by(addCrate, { siteId, mark: '3', slots: 6, limits: { mostKg: 40 } });
  await by(protectOpening, { windowId, panels: ['1a'], by: 'boarding', checkedByRole: 'glazier' });
  const tag = { on: 'lead', upArrow: true, face: 'inside' };
  await by(recordRemoval, { panelId, support: 'a board', tag, faceUpPhoto: mediaId });
  const packed = { things: [{ mark: 'wI.1a', slot: '2' }], to: { kind: 'crate', crateId } };
  await by(recordMovement, { siteId, ...packed });
  const away = { kind: 'holder', role: 'carrier', name: `Carrier of ${code}` };
  const { movementId } = await by(recordMovement, { siteId, crateIds: [crateId], to: away });
  await by(handOver, { movementId, seen: [{ mark: 'wI.1a', condition: 'sound' }] });
  await by(receive, {
    movementId,
    byName: `Bench hand of ${code}`,
    seen: [{ mark: 'wI.1a', condition: 'broken', note: 'a corner' }],
    unpackedTo: { kind: 'bench' },
  });
  const sampled = { things: [{ mark: 'wI.1a', sample: 'C1' }], to: { kind: 'bench' } };
  const mistaken = await by(recordMovement, { siteId, ...sampled });
  await by(withdrawMovement, { movementId: mistaken.movementId, reason: 'another sample' });
  await by(liftPieces, {
    panelId,
    pieces: [
      { mark: '1', is: 'broken', note: 'at an old crack' },
      { mark: '2', is: 'with', with: '1' },
    ],
  });
  await by(recordDismantling, { panelId, rubbingId, allPieces: true });
  const list = { revision: 3, pieces: [{ mark: '1', is: 'in' }], closes: true };
  await by(rebuildCheck, { panelId, ...list });
  const open = (await findRows(reads, 'flag', { siteId, state: 'open' })).filter(({ subject }) =>
    subject.startsWith(`${code}.wI.1a`),
  );
  for (const { flagId } of open)
    await by(answerFlag, { flagId, reason: 'seen by the studio head' });
  await by(rebuildSign, { panelId });
  await by(recordRefix, { panelId, ventilationGapMm: 40 });

  const other = await panelOf('1b');
  const text = readFileSync(CARTOON, 'utf8');
  const cartoon = { fileName: 'light.svg', text, faceWidthMm: 5, note: 'the designer’s cartoon' };
  await by(importNet, { panelId: other.panelId, ...cartoon }, 0);
  const sheet = await attach('target-sheet.jpg', []);
  const asked = await by(askLensCalibration, { mediaId: sheet.mediaId });
  await by(keepLensCalibration, {
    calibrationId: asked.calibrationId,
    mediaId: sheet.mediaId,
    k1: -0.03,
    k2: 0.001,
    sigmaK1: 0.001,
    tags: 40,
    rmsPx: 0.2,
    reach: 0.8,
    widthPx: 1240,
    heightPx: 930,
  });
  const dossier = await by(askDossier, { siteId, subject: 'wI', kind: 'handed-out' });
  await by(keepDossier, {
    dossierId: dossier.dossierId,
    ...(await objects.put(new TextEncoder().encode(`the dossier of ${code}`))),
  });
  const origin = `example.invalid/${code.toLowerCase()}`;
  await by(registerWitnessed, { origin, verifierKeys: [witnessedKey(origin)] });
  await by(releaseWitnessed, { origin, reason: 'its keeper asks others' });
  const unwanted = await attach('unwanted.jpg', ['wI.2a']);
  await by(withdrawMedia, {
    mediaId: unwanted.mediaId,
    reason: 'taken without leave',
    askedBy: `Owner of ${code}`,
  });
  await by(recordDestruction, { mediaId: unwanted.mediaId, derivatives: 0 });
  const report = await objects.put(new TextEncoder().encode(`the scrub of ${code}`));
  await by(recordScrub, {
    scrubId: uuidOfName('scrub', code),
    startedAt: '2026-11-25T02:00:00.000Z',
    endedAt: '2026-11-25T02:10:00.000Z',
    stores: ['primary'],
    objects: 12,
    sizeBytes: 4096,
    checkpoints: 3,
    troubles: 0,
    mended: 0,
    report,
  });
  const lights = TWO_LIGHTS.lights.map((light) => ({ ...light, rowHeightsMm: [500, 700] }));
  await by(
    redrawWindow,
    { windowId, drawing: { ...TWO_LIGHTS, lights }, title: 'The west window' },
    window.version,
  );
  return { keeperId, glazierId, siteId, windowId, panelId, mediaId, rubbingId, interventionId };
}

/** Of a log of somebody else: any Ed25519 key will do. */
function witnessedKey(origin: string): string {
  const { x } = createPublicKey(PUBLISHED_KEY).export({ format: 'jwk' });
  return formatVerifierKey(verifierKey(origin, new Uint8Array(Buffer.from(x!, 'base64url'))));
}
