/** Where preact's ways are not those that the screens count on; to be imported before any of them. */
import { options, type VNode } from 'preact';

/**
 * Drawings are SVG, where an attribute's letters count: `tabIndex`, as components write it, would be
 * an attribute that no browser knows, and nothing in a drawing could be reached by keyboard.
 */
const before = options.vnode?.bind(options);
options.vnode = (node: VNode) => {
  if (typeof node.type === 'string' && 'tabIndex' in node.props) {
    const { tabIndex, ...rest } = node.props as { tabIndex: number };
    node.props = { ...rest, tabindex: tabIndex } as unknown as typeof node.props;
  }
  before?.(node);
};

/**
 * Effects wait for no frame: a key that follows at once on a click must find who listens for it, and
 * one answer asks for the next.
 */
options.requestAnimationFrame = (flush) => {
  queueMicrotask(flush);
};
