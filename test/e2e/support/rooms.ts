/** The rooms of the studio over the chapel of `sallowmereOf`. */
export interface RoomAddress {
  readonly name: string;
  readonly path: string;
  /** a word by which the room is known to stand, in each language */
  readonly stands: Readonly<Record<'en' | 'de', RegExp>>;
}

const room = (name: string, path: string, en: RegExp, de: RegExp): RoomAddress => ({
  name,
  path,
  stands: { en, de },
});

export const rooms: readonly RoomAddress[] = [
  room('wall', '/', /The wall/, /Die Wand/),
  room('window', '/at/SLM.wI', /Choose a panel/, /Ein Feld wählen/),
  room('panel', '/at/SLM.wI?panel=12b', /Open on the bench/, /Am Werktisch öffnen/),
  room('bench', '/at/SLM.wI.12b', /Print it, or take/, /Drucken oder als Datei/),
  room('find', '/at/SLM.wI.12b/find', /What do you see/, /Was ist zu sehen/),
  room('draw', '/at/SLM.wI.12b/draw', /drawing by hand from/, /von Hand gezeichnet ab/),
  room('print', '/at/SLM.wI.12b/print', /For other programs/, /Für andere Programme/),
  room('measure', '/at/SLM.wI.12b/measure', /Keep these sizes/, /Maße festhalten/),
  room('rub', '/at/SLM.wI.12b/rub', /be rubbed/, /abgerieben werden/),
  room('send', '/at/SLM.wI.12b/send', /Originals are kept/, /Originale bleiben/),
  room('papers', '/at/SLM.wI.12b/papers', /Condition record/, /Zustandsprotokoll/),
  room('work', '/at/SLM.wI/work', /What was done/, /Was getan wurde/),
  room('bars', '/at/SLM.wI/bars', /How this was reckoned/, /Wie gerechnet wurde/),
  room(
    'survey',
    '/at/SLM.wI/survey',
    /Tap a panel of the drawing/,
    /Ein Feld der Zeichnung antippen/,
  ),
  room('ranking', '/at/SLM/ranking', /They stand apart/, /Sie stehen für sich/),
  room('bulge', '/at/SLM.wI.12b/bulge', /New readings/, /Neue Ablesungen/),
  room(
    'weight',
    '/at/SLM.wI.12b/weight',
    /What was gauged and weighed/,
    /Was gemessen und gewogen wurde/,
  ),
  room('custody', '/at/SLM.wI/custody', /Loose paint and cracks/, /Lose Malerei und Sprünge/),
  room('rebuild', '/at/SLM.wI.12b/rebuild', /Trial fit: width/, /Anprobe: Breite/),
  room('import', '/at/SLM.wI.12b/import', /Choose a file/, /Datei wählen/),
  room('redraw', '/at/SLM.wI/redraw', /Keep the new drawing/, /Neue Zeichnung festhalten/),
  room('search', '/search?q=glass', /Search/, /Suchen/),
  room(
    'found on a drawing',
    '/search?mark=wI&view=SLM.wI',
    /Draw a rectangle/,
    /Ein Rechteck ziehen/,
  ),
  room('past work', '/search?enter=past', /Past work from papers/, /Frühere Arbeiten aus Papieren/),
  room('people', '/people', /Keys for programs/, /Schlüssel für Programme/),
  room('lenses', '/lenses', /No lens is calibrated/, /Noch ist kein Objektiv/),
  room('phone', '/phone', /What is done here/, /Was hier getan wird/),
];
