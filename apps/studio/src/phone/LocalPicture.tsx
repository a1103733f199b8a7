import { useEffect, useState } from 'react';
import { readBytes } from './queue/picture-bytes.js';

/** A picture out of this device's storage; an empty place where it is not here. */
export function LocalPicture({ id }: { id: string }) {
  const [url, setUrl] = useState<string | null>(null);
  useEffect(() => {
    let left = false;
    let made: string | undefined;
    void readBytes(id).then((bytes) => {
      if (bytes === undefined || left) return;
      made = URL.createObjectURL(bytes);
      setUrl(made);
    });
    return () => {
      left = true;
      if (made !== undefined) URL.revokeObjectURL(made);
    };
  }, [id]);
  return url === null ? (
    <span className="local-picture" />
  ) : (
    <img className="local-picture" src={url} alt="" />
  );
}
