import { Controller } from '@nestjs/common';
import { Archive, registerWitnessed, releaseWitnessed } from '#libs/archive';
import { type CosignRequest, CosignRequestError, parseCosignRequest } from '#libs/ledger';
import { Problem, type ProblemCode } from '#libs/problem';
import { needRole } from '../platform/actor.js';
import { Asked, type AskedFor, Route } from '../platform/route.js';
import { run } from '../platform/run.js';
import * as routes from './witness.routes.js';
import { type Cosigned, WitnessService } from './witness.service.js';

/** A checkpoint with 64 signatures and a proof of 63 lines takes less than a quarter of this. */
const REQUEST_BYTES_MAX = 65_536;

const REFUSALS: Readonly<Record<400 | 403 | 404 | 422, ProblemCode>> = {
  400: 'cosign-request-invalid',
  403: 'checkpoint-key-untrusted',
  404: 'witnessed-log-unknown',
  422: 'checkpoint-inconsistent',
};

@Controller()
export class WitnessController {
  constructor(
    private readonly archive: Archive,
    private readonly witness: WitnessService,
  ) {}

  @Route(routes.addCheckpoint)
  async addCheckpoint(@Asked() { request, reply }: AskedFor<typeof routes.addCheckpoint>) {
    this.#needWitness();
    const asked = requestIn(await textOf(request.body as AsyncIterable<Uint8Array> | undefined));
    const cosigned = await this.witness.cosign(asked, new Date());
    if (cosigned.ok) {
      void reply.type('text/plain; charset=utf-8');
      return cosigned.line;
    }
    if (cosigned.status !== 409) throw refusal(cosigned);
    // C2SP tlog-witness: the known size and a line feed, nothing else
    void reply.status(409).type('text/x.tlog.size');
    return `${cosigned.knownSize ?? 0}\n`;
  }

  @Route(routes.witnessedCheckpoint)
  async witnessedCheckpoint(
    @Asked() { query, reply }: AskedFor<typeof routes.witnessedCheckpoint>,
  ) {
    this.#needWitness();
    const note = await this.witness.newest(query.origin);
    if (note === undefined) {
      throw new Problem('witnessed-log-unknown', 'Nothing was cosigned here for this log.', {
        field: 'origin',
      });
    }
    void reply.type('text/plain; charset=utf-8');
    return note;
  }

  @Route(routes.witnessState)
  async witnessState(@Asked() { actor }: AskedFor<typeof routes.witnessState>) {
    needRole(actor, null, 'keeper');
    return {
      verifierKey: this.witness.verifierKey ?? null,
      items: (await this.witness.logs()).map(
        ({ origin, verifierKeys, released, registeredAt, size, cosignedAt }) => ({
          origin,
          verifierKeys,
          released,
          registeredAt: registeredAt.toISOString(),
          newest:
            size === null || cosignedAt === null
              ? null
              : { size, cosignedAt: cosignedAt.toISOString() },
        }),
      ),
      next: null,
    };
  }

  @Route(routes.registerWitnessed)
  registerWitnessed(@Asked() asked: AskedFor<typeof routes.registerWitnessed>) {
    return run(this.archive, registerWitnessed, asked.body, asked);
  }

  @Route(routes.releaseWitnessed)
  releaseWitnessed(@Asked() asked: AskedFor<typeof routes.releaseWitnessed>) {
    return run(this.archive, releaseWitnessed, asked.body, asked);
  }

  #needWitness(): void {
    if (this.witness.isOn) return;
    throw new Problem(
      'witness-off',
      'Its keeper has not made this archive a witness (MULLION_WITNESS_NAME).',
    );
  }
}

function requestIn(text: string): CosignRequest {
  try {
    return parseCosignRequest(text);
  } catch (cause) {
    if (!(cause instanceof CosignRequestError)) throw cause;
    throw new Problem('cosign-request-invalid', `${cause.message}.`, {}, { cause });
  }
}

function refusal({ status, reason }: Extract<Cosigned, { ok: false }>): Problem {
  return new Problem(REFUSALS[status as 400 | 403 | 404 | 422], `${reason}.`);
}

async function textOf(body: AsyncIterable<Uint8Array> | undefined): Promise<string> {
  const chunks: Uint8Array[] = [];
  let sizeBytes = 0;
  for await (const chunk of body ?? []) {
    sizeBytes += chunk.length;
    if (sizeBytes > REQUEST_BYTES_MAX) {
      throw new Problem('body-too-large', `At most ${REQUEST_BYTES_MAX} bytes.`);
    }
    chunks.push(chunk);
  }
  return Buffer.concat(chunks).toString('utf8');
}
