import { mount } from 'svelte';
import App from './App.svelte';
import { registerWorker } from './offline/register.svelte.ts';
import { screenAt } from './routes.ts';
import { route } from './state/route.svelte.ts';
import { speakFirst } from './texts/index.svelte.ts';
import './styles/page.css';
import './styles/print.css';

// The screen's script comes while the texts and the session are asked for; `Later` says if it does not.
screenAt(route.path)
  ?.load()
  .catch(() => undefined);
await speakFirst();
const target = document.getElementById('page');
if (target) mount(App, { target });
registerWorker();
