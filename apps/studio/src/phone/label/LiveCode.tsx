import { useEffect, useRef } from 'react';
import { say } from '../../platform/language/say.js';
import { readCodes } from './read-codes.js';

/** Looks again after this long. */
const LOOK_MS = 200;

/** What the camera sees, looked through until something is read in it. */
export function LiveCode({
  onCodes,
  onNone,
}: {
  onCodes: (codes: readonly string[]) => void;
  /** no camera is given to this page */
  onNone: () => void;
}) {
  const video = useRef<HTMLVideoElement>(null);
  const heard = useRef({ onCodes, onNone });
  useEffect(() => {
    heard.current = { onCodes, onNone };
  });
  useEffect(() => {
    const leaving = new AbortController();
    void watch(video.current!, leaving.signal, (codes) => {
      heard.current.onCodes(codes);
    }).catch(() => {
      if (!leaving.signal.aborted) heard.current.onNone();
    });
    return () => {
      leaving.abort();
    };
  }, []);
  return <video ref={video} muted playsInline aria-label={say('What the camera sees')} />;
}

async function watch(
  video: HTMLVideoElement,
  signal: AbortSignal,
  onCodes: (codes: readonly string[]) => void,
): Promise<void> {
  const stream = await navigator.mediaDevices.getUserMedia({
    video: { facingMode: 'environment', width: { ideal: 1280 } },
  });
  const isOver = () => signal.aborted;
  try {
    if (isOver()) return;
    video.srcObject = stream;
    await video.play();
    while (!isOver()) {
      const codes = await readCodes(video, [video.videoWidth, video.videoHeight]);
      if (codes.length > 0 && !isOver()) onCodes(codes);
      await new Promise((resolve) => setTimeout(resolve, LOOK_MS));
    }
  } finally {
    for (const track of stream.getTracks()) track.stop();
    video.srcObject = null;
  }
}
