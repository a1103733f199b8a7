import '@fontsource-variable/atkinson-hyperlegible-next';
import '@fontsource-variable/literata';
import './platform/look.css';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { layGround } from './platform/ground.js';
import { startLanguage } from './platform/language/start.js';

const root = document.getElementById('studio');
if (!root) throw new Error('index.html has no #studio');
layGround();
// Words stand in constants of the screens' modules, so the language is there before they are.
await startLanguage();
const { Studio } = await import('./Studio.js');
createRoot(root).render(
  <StrictMode>
    <Studio />
  </StrictMode>,
);
