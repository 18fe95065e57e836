import { mount } from 'svelte';
import '../lib/css/base.css';
import App from './App.svelte';
import { Desk, takeKey } from './desk.svelte';
import { Route } from './route.svelte';

const desk = new Desk(takeKey());
const route = new Route();
const target = document.getElementById('app');
if (target) mount(App, { target, props: { desk, route } });
void desk.open();
