import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { type MessageFormatElement, parse, TYPE } from '@formatjs/icu-messageformat-parser';
import { findMessages } from './find-messages.js';
import { archiveWords } from './words.js';

const studio = fileURLToPath(new URL('../src', import.meta.url));
const folder = fileURLToPath(new URL('de', import.meta.url));

const code = readdirSync(studio, { recursive: true, encoding: 'utf8' })
  .filter((path) => /\.tsx?$/.test(path) && !/\.test\.tsx?$/.test(path))
  .flatMap((path) =>
    findMessages(path, readFileSync(`${studio}/${path}`, 'utf8')).map(({ message, line }) => ({
      message,
      where: `${path}:${line}`,
    })),
  );
const catalogue = readdirSync(folder).flatMap((file) =>
  Object.entries(
    JSON.parse(readFileSync(`${folder}/${file}`, 'utf8')) as Record<string, string>,
  ).map(([english, german]) => ({ file, english, german })),
);
const german = new Map(catalogue.map((row) => [row.english, row.german]));

/** What a message takes in: values, choices and marked words, by the reference parser of ICU. */
function takes(elements: readonly MessageFormatElement[]): string[] {
  return elements.flatMap((element) => {
    if (element.type === TYPE.tag) return [`<${element.value}>`, ...takes(element.children)];
    if (element.type === TYPE.plural || element.type === TYPE.select)
      return [
        element.value,
        ...Object.values(element.options).flatMap(({ value }) => takes(value)),
      ];
    return element.type === TYPE.literal || element.type === TYPE.pound ? [] : [element.value];
  });
}
const taken = (message: string) => [...new Set(takes(parse(message)))].sort();

/** Forms of number that a message chooses between. */
function forms(elements: readonly MessageFormatElement[]): string[] {
  return elements.flatMap((element) =>
    element.type === TYPE.plural
      ? Object.keys(element.options)
      : element.type === TYPE.tag
        ? forms(element.children)
        : [],
  );
}

describe('the German catalogue', () => {
  it('has every message of the code', () => {
    expect(code.length).toBeGreaterThan(1500);
    expect(code.filter(({ message }) => !german.has(message))).toEqual([]);
  });

  it('has every word of the tables that the archive answers with', () => {
    expect(archiveWords().filter((word) => !german.has(word))).toEqual([]);
  });

  it('has nothing that nobody says, and nothing twice', () => {
    const said = new Set([...code.map(({ message }) => message), ...archiveWords()]);
    expect(catalogue.filter(({ english }) => !said.has(english))).toEqual([]);
    expect(catalogue).toHaveLength(german.size);
  });

  it('takes the same values as the English', () => {
    const other = catalogue.filter((row) => taken(row.english).join() !== taken(row.german).join());
    expect(other).toEqual([]);
  });

  it('begins and ends with a space where the English does, since such parts are joined', () => {
    const edges = (text: string) => `${/^\s/.test(text)} ${/\s$/.test(text)}`;
    expect(catalogue.filter((row) => edges(row.english) !== edges(row.german))).toEqual([]);
  });

  // CLDR plural rules of German: one, other (unicode.org, language plural rules).
  it('chooses between the forms that German has', () => {
    const wrong = catalogue.filter(({ german: said }) =>
      forms(parse(said)).some((form) => form !== 'one' && form !== 'other'),
    );
    expect(wrong).toEqual([]);
  });

  it('speaks to nobody as Sie', () => {
    const addressed = catalogue.filter(({ german: said }) =>
      /(?<![.:>] ?|^)\b(Sie|Ihre?[nmrs]?)\b/.test(said),
    );
    expect(addressed).toEqual([]);
  });
});
