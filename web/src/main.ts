import { mount } from 'svelte';
import App from './App.svelte';
import { registerWorker } from './offline/register.svelte.ts';
import './styles/page.css';
import './styles/print.css';

const target = document.getElementById('page');
if (target) mount(App, { target });
registerWorker();
