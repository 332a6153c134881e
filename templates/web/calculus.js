// Complex numbers as pairs [real, imaginary]; responses as polynomials in s and the values x of the sliders.
const F=model.spot,W=2*Math.PI*F;
const add=(...a)=>a.reduce((u,v)=>[u[0]+v[0],u[1]+v[1]],[0,0]);
const sub=(u,v)=>[u[0]-v[0],u[1]-v[1]];
const mul=(...a)=>a.reduce((u,v)=>[u[0]*v[0]-u[1]*v[1],u[0]*v[1]+u[1]*v[0]],[1,0]);
const div=(u,v)=>{
  if(v[1]===0)return [u[0]/v[0],u[1]/v[0]];
  // Scaled by the larger part, so that nothing overflows.
  if(Math.abs(v[0])>=Math.abs(v[1])){const r=v[1]/v[0],d=v[0]+v[1]*r;return [(u[0]+u[1]*r)/d,(u[1]-u[0]*r)/d];}
  const r=v[0]/v[1],d=v[0]*r+v[1];return [(u[0]*r+u[1])/d,(u[1]*r-u[0])/d];
};
const size=u=>Math.hypot(u[0],u[1]);
const pow=(u,n)=>{let r=[1,0];for(let k=0;k<Math.abs(n);k++)r=mul(r,u);return n<0?div([1,0],r):r;};
const par=(...a)=>div([1,0],add(...a.map(u=>div([1,0],u))));
const call_abs=u=>[size(u),0];
const call_log10=u=>[Math.log10(size(u)),0];
const call_exp=u=>[Math.exp(u[0])*Math.cos(u[1]),Math.exp(u[0])*Math.sin(u[1])];
const call_sqrt=u=>{
  if(u[1]===0)return u[0]>=0?[Math.sqrt(u[0]),0]:[0,Math.sqrt(-u[0])];
  const m=size(u);return [Math.sqrt((m+u[0])/2),Math.sign(u[1])*Math.sqrt((m-u[0])/2)];
};
const error=(a,e)=>[size(sub(a,e))/size(e),0];
const shown=(u,k,part)=>part==="whole"?[k*u[0],k*u[1]]:[k*(part==="abs"?size(u):part==="real"?u[0]:u[1]),0];
// The coefficients of the powers of s for values x, lowest power first.
const side=(terms,x)=>{
  const c=[];
  for(const [k,p,e] of terms){let t=k;e.forEach((n,i)=>{t*=x[i]**n;});while(c.length<=p)c.push(0);c[p]+=t;}
  return c;
};
const horner=(c,w)=>{let r=[0,0];for(let k=c.length-1;k>=0;k--)r=[-r[1]*w+c[k],r[0]*w];return r;};
const sides=(place,x)=>model.responses[place].map(terms=>side(terms,x));
const respond=([n,d],w)=>div(horner(n,w),horner(d,w));
// All numbers that follow, for values x of the sliders, in the order of model.marked.
const evaluate=x=>{
  const known=new Map(),spots=new Map();
  const spot=place=>{if(!spots.has(place))spots.set(place,respond(sides(place,x),W));return spots.get(place);};
  const q=place=>{if(!known.has(place))known.set(place,recipes[place](x,q,spot));return known.get(place);};
  return model.marked.map(([,place])=>q(place));
};
