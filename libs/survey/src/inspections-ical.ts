/** Dates of next inspections as a calendar (RFC 5545). */

export interface Inspection {
  readonly surveyId: string;
  /** full mark of the window */
  readonly mark: string;
  readonly title: string;
  /** first day that the date may mean, YYYY-MM-DD */
  readonly day: string;
  /** as it was said: EDTF */
  readonly said: string;
  /** of the survey that said so */
  readonly recordedAt: Date;
}

/** One event of a whole day for each date, on the first day that it may mean. */
export function inspectionsIcal(inspections: readonly Inspection[], origin: string): string {
  const lines = [
    'BEGIN:VCALENDAR',
    'VERSION:2.0',
    'PRODID:-//Mullion//inspections//EN',
    ...inspections.flatMap(({ surveyId, mark, title, day, said, recordedAt }) => [
      'BEGIN:VEVENT',
      `UID:${surveyId}@${origin.replaceAll('/', '.')}`,
      `DTSTAMP:${recordedAt
        .toISOString()
        .replace(/\.\d{3}/, '')
        .replaceAll(/[-:]/g, '')}`,
      `DTSTART;VALUE=DATE:${day.replaceAll('-', '')}`,
      `SUMMARY:${escaped(`Inspect ${mark}, ${title}`)}`,
      `DESCRIPTION:${escaped(`Said in the survey as ${said}.`)}`,
      'TRANSP:TRANSPARENT',
      'END:VEVENT',
    ]),
    'END:VCALENDAR',
  ];
  return lines.map((line) => `${folded(line)}\r\n`).join('');
}

/** RFC 5545 section 3.3.11: backslash, semicolon, comma and line ends. */
function escaped(text: string): string {
  return text.replace(/[\\;,]/g, (mark) => `\\${mark}`).replace(/\r\n|\r|\n/g, '\\n');
}

const LINE_BYTES = 75;

/** RFC 5545 section 3.1: at most 75 octets a line; what follows begins with a blank. No letter is cut. */
function folded(line: string): string {
  let out = '';
  let bytes = 0;
  for (const letter of line) {
    const size = utf8Bytes(letter);
    if (bytes + size > LINE_BYTES) {
      out += '\r\n ';
      bytes = 1;
    }
    out += letter;
    bytes += size;
  }
  return out;
}

function utf8Bytes(letter: string): number {
  const code = letter.codePointAt(0)!;
  return code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
}
