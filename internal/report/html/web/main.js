import {block} from './data.js';
import {list} from './list.js';
import {turning} from './turn.js';

list(block('list')?.models);
turning();
