/**
 * The ground on which everything lies: dark, light, or the light table. It is chosen with the rest of a
 * browser's manner; where nothing was chosen the device says. Its colours stand in `tokens.css` alone.
 */
import { type Ground, manner } from './language/manner.js';

/** What lies on the ground for these eyes: the choice, or what the device asks for. */
export function groundInForce(): Exclude<Ground, 'device'> {
  const { ground } = manner();
  if (ground !== 'device') return ground;
  return typeof window !== 'undefined' && window.matchMedia('(prefers-color-scheme: light)').matches
    ? 'light'
    : 'dark';
}

/** Before anything is drawn. */
export function layGround(): void {
  document.documentElement.dataset['ground'] = groundInForce();
  document
    .querySelector('meta[name="theme-color"]')
    ?.setAttribute('content', token('ground', '#101314'));
}

const read = new Map<string, string>();

/**
 * A colour of `tokens.css` for a canvas, '#rrggbb'. Another ground opens the page anew, so it is read once.
 * @param without what stands where no page is (in a test of a style)
 */
export function token(name: string, without = '#000000'): string {
  if (typeof document === 'undefined') return without;
  const known = read.get(name);
  if (known !== undefined) return known;
  const value = window
    .getComputedStyle(document.documentElement)
    .getPropertyValue(`--${name}`)
    .trim();
  const colour = value === '' ? without : value;
  read.set(name, colour);
  return colour;
}
