import { Injectable } from '@nestjs/common';
import { Problem } from '#libs/problem';

const WINDOW_MS = 5 * 60_000;
const ATTEMPTS_MAX = 10;
const KEPT_MAX = 10_000;

/** Slows down guessing: ten failed sign-ins for a login, or from an address, in five minutes. */
@Injectable()
export class Attempts {
  readonly #failures = new Map<string, number[]>();

  /** @throws {Problem} `too-many-attempts` with `retryAfterS` */
  check(keys: readonly string[], now = Date.now()): void {
    for (const key of keys) {
      const recent = this.#recent(key, now);
      if (recent.length < ATTEMPTS_MAX) continue;
      const retryAfterS = Math.ceil((recent[0]! + WINDOW_MS - now) / 1000);
      throw new Problem(
        'too-many-attempts',
        `Too many failed sign-ins. Wait ${retryAfterS} s, then try again.`,
        { retryAfterS },
      );
    }
  }

  failed(keys: readonly string[], now = Date.now()): void {
    for (const key of keys) this.#failures.set(key, [...this.#recent(key, now), now]);
    // Names that nobody has must not fill the memory.
    for (const key of this.#failures.keys()) {
      if (this.#failures.size <= KEPT_MAX) break;
      this.#failures.delete(key);
    }
  }

  succeeded(keys: readonly string[]): void {
    for (const key of keys) this.#failures.delete(key);
  }

  #recent(key: string, now: number): number[] {
    return (this.#failures.get(key) ?? []).filter((at) => at > now - WINDOW_MS);
  }
}
