import '@fontsource-variable/atkinson-hyperlegible-next';
import '@fontsource-variable/literata';
import './platform/look.css';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { Studio } from './Studio.js';

const root = document.getElementById('studio');
if (!root) throw new Error('index.html has no #studio');
createRoot(root).render(
  <StrictMode>
    <Studio />
  </StrictMode>,
);
