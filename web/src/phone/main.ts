import { mount } from 'svelte';
import '../lib/css/base.css';
import PhoneApp from './PhoneApp.svelte';
import { Phone } from './phone.svelte';

const phone = new Phone();
const target = document.getElementById('app');
if (target) mount(PhoneApp, { target, props: { phone } });
void phone.open();
