/**
 * Every room of the studio, and where a picture of it is taken. A room that `place.ts` knows and that is
 * not named here is a type error: each one is looked at, in both sizes, languages and on all grounds.
 */
import type { Act, Place } from '../../../apps/studio/src/platform/place.js';

export interface RoomAddress {
  readonly name: string;
  /** `{photograph}` stands for the first photograph of the panel */
  readonly path: string;
  /** a word by which the room is known to stand, in each language */
  readonly stands: Readonly<Record<'en' | 'de', RegExp>>;
  /** only the demo has what is seen there: a photograph, a measured rubbing */
  readonly inDemo?: true;
}

/** a word of the room in English and German, where the chapel of `sallowmereOf` shows it */
type Room = readonly [path: string, en: RegExp, de: RegExp, inDemo?: 'demo'];

const byPlace: Readonly<Record<Act | Exclude<Place['on'], 'mark'>, Room>> = {
  wall: ['/', /The wall/, /Die Wand/],
  'add-site': ['/add-site', /A new site/, /Ein neuer Standort/],
  'add-window': ['/at/SLM/add-window', /A new window/, /Ein neues Fenster/],
  redraw: ['/at/SLM.wI/redraw', /Keep the new drawing/, /Neue Zeichnung festhalten/],
  find: ['/at/SLM.wI.12b/find', /What do you see/, /Was ist zu sehen/],
  trace: ['/at/SLM.wI.11a/trace', /Trace a piece/, /Stück durchzeichnen/, 'demo'],
  draw: ['/at/SLM.wI.12b/draw', /drawing by hand from/, /von Hand gezeichnet ab/],
  print: ['/at/SLM.wI.12b/print', /For other programs/, /Für andere Programme/],
  measure: ['/at/SLM.wI.12b/measure', /Keep these sizes/, /Maße festhalten/],
  rub: ['/at/SLM.wI.12b/rub', /be rubbed/, /abgerieben werden/],
  lay: ['/at/SLM.sII.2a/lay/{photograph}', /Matching places/, /Gleiche Stellen/, 'demo'],
  found: ['/at/SLM.sII.2a/found', /before/, /vorher/, 'demo'],
  compare: ['/at/SLM.wI.12b/compare', /Revision 1 → 2/, /Fassung 1 → 2/, 'demo'],
  send: ['/at/SLM.wI.12b/send', /Originals are kept/, /Originale bleiben/],
  papers: ['/at/SLM.wI.12b/papers', /Condition record/, /Zustandsprotokoll/],
  work: ['/at/SLM.wI/work', /What was done/, /Was getan wurde/],
  works: ['/at/SLM/works', /the works at/, /die Arbeiten an/],
  estimate: [
    '/at/SLM/estimate',
    /There is no campaign yet|What it is made of/,
    /Noch gibt es keine Kampagne|Woraus er gemacht ist/,
  ],
  bars: ['/at/SLM.wI/bars', /How this was reckoned/, /Wie gerechnet wurde/],
  survey: ['/at/SLM.wI/survey', /Tap a panel of the drawing/, /Ein Feld der Zeichnung antippen/],
  ranking: ['/at/SLM/ranking', /as a table \(CSV\)/, /als Tabelle \(CSV\)/],
  bulge: ['/at/SLM.wI.12b/bulge', /New readings/, /Neue Ablesungen/],
  weight: [
    '/at/SLM.wI.12b/weight',
    /What was gauged and weighed/,
    /Was gemessen und gewogen wurde/,
  ],
  shards: [
    '/at/SLM.wI.12b.1/shards',
    /Lay one shard on a light box/,
    /Eine Scherbe auf den Leuchtkasten/,
  ],
  custody: ['/at/SLM.wI/custody', /Loose paint and cracks/, /Lose Malerei und Sprünge/],
  // before its drawing is signed a piece has no number to be described under
  made: [
    '/at/SLM.wI.12b.5/made',
    /What holds it|Sign the drawing, and/,
    /Was es hält|Bleiriss abzeichnen, dann/,
  ],
  apart: [
    '/at/SLM.wI.12b/apart',
    /of \d+ lifted|Sign the lead drawing first/,
    /von \d+ gehoben|Zuerst die Bleizeichnung/,
  ],
  tests: ['/at/SLM.wI.12b/tests', /Another test/, /Eine weitere Prüfung/],
  rebuild: ['/at/SLM.wI.12b/rebuild', /Trial fit: width/, /Anprobe: Breite/],
  glass: ['/at/SLM.wI.12b/glass', /Glass for pieces/, /Glas für Stücke/],
  import: ['/at/SLM.wI.12b/import', /Choose a file/, /Datei wählen/],
  search: ['/search?q=glass', /Search/, /Suchen/],
  people: ['/people', /Keys for programs/, /Schlüssel für Programme/],
  lenses: ['/lenses', /No lens is calibrated/, /Noch ist kein Objektiv/],
  'recovery-sheet': ['/recovery-sheet', /the recovery sheet/, /das Wiederherstellungsblatt/],
  phone: ['/phone', /What is done here/, /Was hier getan wird/],
};

/** One room that shows different things. */
const more: Readonly<Record<string, Room>> = {
  window: ['/at/SLM.wI', /Choose a panel/, /Ein Feld wählen/],
  panel: ['/at/SLM.wI?panel=12b', /Open on the bench/, /Am Werktisch öffnen/],
  bench: ['/at/SLM.wI.12b', /Print it, or take/, /Drucken oder als Datei/],
  'found on a drawing': ['/search?mark=wI&view=SLM.wI', /Draw a rectangle/, /Ein Rechteck ziehen/],
  'past work': ['/search?enter=past', /Past work from papers/, /Frühere Arbeiten aus Papieren/],
  'window of the demo': [
    '/at/SLM.sII?panel=2a',
    /Open on the bench/,
    /Am Werktisch öffnen/,
    'demo',
  ],
  'bench with a photograph': ['/at/SLM.sII.2a', /transmitted light/, /Durchlicht/, 'demo'],
  piece: ['/at/SLM.sII.2a.1', /Found here|found here/, /Hier gefunden|hier gefunden/, 'demo'],
  'drawing over wax': [
    '/at/SLM.sII.2a/draw',
    /drawing by hand from/,
    /von Hand gezeichnet ab/,
    'demo',
  ],
  'how a piece is made': ['/at/SLM.sII.2a.1/made', /What holds it/, /Was es hält/, 'demo'],
  'taken apart': ['/at/SLM.sII.2a/apart', /of \d+ lifted/, /von \d+ gehoben/, 'demo'],
  'glass for a signed drawing': [
    '/at/SLM.sII.2a/glass',
    /all without a glass/,
    /alle ohne Glas/,
    'demo',
  ],
  rubbings: ['/at/SLM.sII.2a/rub', /be rubbed|Rubbings|rubbing/, /Abreibung/, 'demo'],
  'weight of a measured panel': [
    '/at/SLM.sII.2a/weight',
    /What was gauged and weighed/,
    /Was gemessen und gewogen wurde/,
    'demo',
  ],
};

const addresses: readonly RoomAddress[] = Object.entries({ ...byPlace, ...more }).map(
  ([name, [path, en, de, inDemo]]) => ({
    name,
    path,
    stands: { en, de },
    ...(inDemo ? { inDemo: true as const } : {}),
  }),
);

/** What stands over the chapel of `sallowmereOf`, without a picture. */
export const rooms = addresses.filter(({ inDemo }) => inDemo === undefined);
/** Every one of them, over the demo. */
export const demoRooms = addresses;
