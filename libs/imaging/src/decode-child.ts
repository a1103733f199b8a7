/**
 * Entry of the decoding process: one task at a time, asked and answered over IPC. It holds no secret
 * and no connection; whatever a hostile file does to it, the parent loses one task.
 */
import sharp from 'sharp';
import type { DecodeReply, DecodeRequest, DecodeTask } from './decode-protocol.js';
import { endWithParent } from './end-with-parent.js';
import { ImagingError } from './imaging-error.js';
import {
  crop,
  encodePixels,
  makePixels,
  makePreview,
  makePyramid,
  render,
} from './tasks/derive.js';
import { probe } from './tasks/probe.js';

endWithParent();
sharp.cache(false);
sharp.concurrency(1);

async function run({ task, limits }: DecodeRequest): Promise<unknown> {
  switch (task.name) {
    case 'probe':
      return probe(task, limits);
    case 'pyramid':
      return makePyramid(task, limits);
    case 'preview':
      return makePreview(task, limits);
    case 'pixels':
      return makePixels(task, limits);
    case 'encode':
      return encodePixels(task, limits);
    case 'render':
      return render(task);
    case 'crop':
      return crop(task);
  }
}

/** What a decoder throws is about the file, unless it is plainly a fault of ours or of the machine. */
function replyOf(error: unknown, task: DecodeTask): DecodeReply {
  if (error instanceof ImagingError)
    return { ok: false, fault: error.fault, message: error.message };
  const message = error instanceof Error ? error.message : String(error);
  if (isOurs(error)) {
    return { ok: false, fault: 'bug', message: error.stack ?? message };
  }
  const machine = machineFault(error, message, task);
  if (machine !== undefined) return machine;
  if (message.includes('exceeds pixel limit')) {
    return {
      ok: false,
      fault: 'pixels-too-many',
      message: 'The picture would unpack to more pixels than are taken here. Send a smaller scan.',
    };
  }
  const reason = message.split('\n')[0] ?? message;
  return {
    ok: false,
    fault: 'file-damaged',
    message: `The file is damaged or broke off on its way (${reason}). Open it where it came from, and send it again.`,
  };
}

/**
 * What the system refused (a disk without room, say) would be refused of any picture. The decoder's
 * library tells it in words, beginning with the path that it could not write.
 */
function machineFault(error: unknown, message: string, task: DecodeTask): DecodeReply | undefined {
  const { errno, code } = error as NodeJS.ErrnoException;
  if (typeof errno === 'number') return { ok: false, fault: 'machine', code, message };
  if (!('outPath' in task) || !message.includes(`${task.outPath}: `)) return undefined;
  const isFull = message.includes('No space left on device') || message.includes('quota exceeded');
  return { ok: false, fault: 'machine', code: isFull ? 'ENOSPC' : undefined, message };
}

/** A mistake in our code, not in a decoder that stumbled over the file. */
function isOurs(error: unknown): error is Error {
  if (!(error instanceof TypeError) && !(error instanceof ReferenceError)) return false;
  const firstFrame = /^ +at .*$/m.exec(error.stack ?? '')?.[0] ?? '';
  return !firstFrame.includes('node_modules');
}

process.on('message', (request: DecodeRequest) => {
  void run(request).then(
    (answer) => process.send?.({ ok: true, answer } satisfies DecodeReply),
    (error: unknown) => process.send?.(replyOf(error, request.task)),
  );
});
process.on('disconnect', () => process.exit(0));
// Ctrl-C reaches the whole group: the parent decides when we end
process.on('SIGINT', () => undefined);
