import { Injectable } from '@nestjs/common';
import { Problem } from '#libs/problem';

const WINDOW_MS = 5 * 60_000;
/** For one login; and for one address, which a whole studio may share. */
const LOGIN_MAX = 10;
const ADDRESS_MAX = 60;
const KEPT_MAX = 10_000;

/** Slows down guessing: so many failed sign-ins in five minutes, then a pause. */
@Injectable()
export class Attempts {
  readonly #failures = new Map<string, number[]>();

  /** @throws {Problem} `too-many-attempts` with `retryAfterS` */
  check(keys: readonly string[], now = Date.now()): void {
    for (const key of keys) {
      const recent = this.#recent(key, now);
      if (recent.length < (key.startsWith('login ') ? LOGIN_MAX : ADDRESS_MAX)) continue;
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

  /** Right at last: the login starts anew, the address does not. */
  succeeded(keys: readonly string[]): void {
    for (const key of keys) if (key.startsWith('login ')) this.#failures.delete(key);
  }

  #recent(key: string, now: number): number[] {
    return (this.#failures.get(key) ?? []).filter((at) => at > now - WINDOW_MS);
  }
}
