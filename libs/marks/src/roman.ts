/** Roman numerals in their one canonical form, and light letters. */

const STEPS = [
  [1000, 'M'],
  [900, 'CM'],
  [500, 'D'],
  [400, 'CD'],
  [100, 'C'],
  [90, 'XC'],
  [50, 'L'],
  [40, 'XL'],
  [10, 'X'],
  [9, 'IX'],
  [5, 'V'],
  [4, 'IV'],
  [1, 'I'],
] as const;

export const ROMAN_MAX = 3999;

/** @param n 1 to 3999. @throws Error outside */
export function romanOf(n: number): string {
  if (!Number.isInteger(n) || n < 1 || n > ROMAN_MAX) {
    throw new Error(`${n} has no Roman numeral; expected 1 to ${ROMAN_MAX}`);
  }
  let text = '';
  let rest = n;
  for (const [value, letters] of STEPS) {
    while (rest >= value) {
      text += letters;
      rest -= value;
    }
  }
  return text;
}

/** @returns undefined unless the text is the canonical numeral: IIII, VX and IC are none */
export function romanValue(text: string): number | undefined {
  let value = 0;
  let at = 0;
  for (const [step, letters] of STEPS) {
    while (text.startsWith(letters, at)) {
      value += step;
      at += letters.length;
    }
  }
  if (at !== text.length || value < 1 || value > ROMAN_MAX) return undefined;
  return romanOf(value) === text ? value : undefined;
}

export const LIGHTS_MAX = 26 + 26 * 26;

/**
 * Light letter(s) from the left, counted from 1: a … z, aa, ab … zz. No letter is left out (i and l
 * too). @throws Error outside 1 to 702
 */
export function lightLetters(light: number): string {
  if (!Number.isInteger(light) || light < 1 || light > LIGHTS_MAX) {
    throw new Error(`${light} is no light; expected 1 to ${LIGHTS_MAX}`);
  }
  const letter = (n: number) => String.fromCharCode(96 + n);
  if (light <= 26) return letter(light);
  return letter(Math.floor((light - 1) / 26)) + letter(((light - 1) % 26) + 1);
}

/** @returns undefined unless the text is one or two of a-z */
export function lightNumber(letters: string): number | undefined {
  if (!/^[a-z]{1,2}$/.test(letters)) return undefined;
  const value = (at: number) => letters.charCodeAt(at) - 96;
  return letters.length === 1 ? value(0) : 26 * value(0) + value(1);
}
