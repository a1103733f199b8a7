/** Opens the screens: the second program of the page, begun when their words are there. */
import './platform/preact-ways.js';
import { createRoot } from 'react-dom/client';
import { Caught } from './platform/Caught.js';
import { Studio } from './Studio.js';

const root = document.getElementById('studio');
if (!root) throw new Error('index.html has no #studio');
createRoot(root).render(
  <Caught>
    <Studio />
  </Caught>,
);
