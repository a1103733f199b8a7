/** A key for tests whose secret is published, so that nobody takes it for a real one. */
import { createPrivateKey } from 'node:crypto';

/** RFC 8032 section 7.1, test 1. */
export const PUBLISHED_KEY = createPrivateKey({
  key: Buffer.concat([
    Buffer.from('302e020100300506032b657004220420', 'hex'),
    Buffer.from('9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60', 'hex'),
  ]),
  format: 'der',
  type: 'pkcs8',
});
