import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Archive, Command, Written } from '#libs/archive';
import { askingOf } from './actor.js';

/** Runs a command for the person who asks and sets the status that the command names. */
export async function run<B, P, A extends object, R>(
  archive: Archive,
  command: Command<B, P, A, R>,
  input: unknown,
  { request, reply }: { request: FastifyRequest; reply: FastifyReply },
): Promise<A & Written> {
  const outcome = await archive.run(command, input, askingOf(request));
  void reply.status(outcome.status);
  if (outcome.replayed) void reply.header('Idempotency-Replayed', 'true');
  return outcome.answer;
}
