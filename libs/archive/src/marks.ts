/** Marks as the archive's bodies and rows have them; the grammar is libs/marks. */
import {
  fileForm,
  formatOpening,
  formatWindow,
  type InPanelMark,
  type Mark,
  MarkError,
  type OpeningMark,
  parseInPanel,
  parseOpening,
  parseWindow,
  readBuildingOf,
  readMarkIn,
  type Scheme,
  type WindowMark,
} from '#libs/marks';
import { Problem } from '#libs/problem';

/** @throws {Problem} `mark-invalid` */
export function checkedBuilding(siteMark: string, field: string): Pick<Mark, 'site' | 'unit'> {
  const reading = readBuildingOf(siteMark);
  if (!reading.ok) throw refusal(reading.refusal.reason, field);
  return reading.value;
}

/** File form of a site's mark, e.g. `slm_ch`: the name of its log. */
export function siteFileForm(building: Pick<Mark, 'site' | 'unit'>): string {
  return fileForm(building);
}

/** Canonical window mark and its place in the order. @throws {Problem} `mark-invalid` */
export function checkedWindow(text: string, scheme: string): { mark: string; sortKey: string } {
  const window = tried(() => parseWindow(text, scheme as Scheme), 'mark');
  return { mark: formatWindow(window), sortKey: sortKeyOfWindow(window) };
}

/** @throws {Problem} `mark-invalid` */
export function checkedOpening(text: string): { mark: string; sortKey: string } {
  const opening = tried(() => parseOpening(text), 'drawing');
  return { mark: formatOpening(opening), sortKey: sortKeyOfOpening(opening) };
}

/** What lies in a panel. @throws {Problem} `mark-invalid` */
export function checkedInPanel(text: string, field: string): InPanelMark {
  return tried(() => parseInPanel(text), field);
}

/** A mark within a site, in full or from the window on. @throws {Problem} `mark-invalid` */
export function checkedMarkIn(siteMark: string, scheme: string, text: string, field: string): Mark {
  const within =
    text === siteMark
      ? ''
      : text.startsWith(`${siteMark}.`)
        ? text.slice(siteMark.length + 1)
        : text;
  const reading = readMarkIn(checkedBuilding(siteMark, field), within, scheme as Scheme);
  if (!reading.ok) throw refusal(reading.refusal.reason, field);
  return reading.value;
}

/** `SLM.wI.2b` + `17` */
export function pieceMarkOf(panelMark: string, mark: string): string {
  return `${panelMark}.${mark}`;
}

/** Order in a panel as text: number, then what is built on it. */
export function sortKeyOfPiece(mark: string): string {
  const place = tried(() => parseInPanel(mark), 'number');
  switch (place.kind) {
    case 'part':
      return key(1, place.number, 1, place.letter.charCodeAt(0));
    case 'replacement':
      return key(1, place.number, 2, place.index);
    case 'shard':
      return key(1, place.number, 3, place.index);
    case 'plate':
      return key(1, place.number, 4, place.index);
    default:
      return key(place.kind === 'piece' ? 1 : place.kind === 'lead' ? 2 : 3, place.number);
  }
}

function sortKeyOfOpening(opening: OpeningMark): string {
  return opening.kind === 'panel'
    ? key(1, opening.row, opening.light)
    : key(2, opening.row.charCodeAt(0), opening.number);
}

function sortKeyOfWindow(window: WindowMark): string {
  // Free names: digits by value, letters as they are.
  if (window.scheme === 'free') {
    return window.name.replace(/\d+/g, (digits) => digits.padStart(5, '0'));
  }
  return key(
    ['ground', 'middle', 'upper'].indexOf(window.storey),
    ['axis', 'n', 's', 'w'].indexOf(window.side),
    window.number,
  );
}

function key(...numbers: number[]): string {
  return numbers.map((number) => String(number).padStart(5, '0')).join('.');
}

function tried<T>(read: () => T, field: string): T {
  try {
    return read();
  } catch (cause) {
    if (cause instanceof MarkError) throw refusal(cause.refusal.reason, field, cause);
    throw cause;
  }
}

function refusal(reason: string, field: string, cause?: unknown): Problem {
  return new Problem('mark-invalid', `${field}: ${reason}.`, { field }, { cause });
}
