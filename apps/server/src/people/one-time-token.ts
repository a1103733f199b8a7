import { timingSafeEqual } from 'node:crypto';
import { Inject, Injectable } from '@nestjs/common';
import type { MullionConfig } from '#libs/archive';
import { Problem } from '#libs/problem';
import { digestOfSecret } from '../platform/sessions.js';
import { CONFIG } from '../platform/tokens.js';

/** The link that start prints: good for one sign-in, until the next start. */
@Injectable()
export class OneTimeToken {
  #isSpent = false;

  constructor(@Inject(CONFIG) private readonly config: MullionConfig) {}

  /** @throws {Problem} `link-spent` */
  check(token: string): void {
    const expected = this.config.oneTimeTokenDigest;
    const isRight =
      expected !== undefined &&
      !this.#isSpent &&
      timingSafeEqual(Buffer.from(digestOfSecret(token)), Buffer.from(expected));
    if (isRight) return;
    throw new Problem(
      'link-spent',
      'This link was used or belongs to an earlier start. Start Mullion again; it prints a new one.',
      { field: 'token' },
    );
  }

  /** After what it was for has been done. */
  spend(): void {
    this.#isSpent = true;
  }
}
