import { mount } from 'svelte';
import '../lib/css/base.css';
import App from './App.svelte';
import { Desk, keyFromAddress, takeKey } from './desk.svelte';
import { Route } from './route.svelte';

const desk = new Desk(takeKey());
// The link of a program that was started again, opened in a tab that is open already: before the route reads it.
addEventListener('hashchange', ({ oldURL }) => {
  const key = keyFromAddress();
  if (key === null) return;
  if (location.hash === '') history.replaceState(null, '', new URL(oldURL).hash || location.pathname);
  void desk.unlock(key);
});
const route = new Route();
const target = document.getElementById('app');
if (target) mount(App, { target, props: { desk, route } });
void desk.open();
