// Numbers as they are printed: engineering notation, as in the rest of the page.
const PREFIXES={"-15":"f","-12":"p","-9":"n","-6":"µ","-3":"m","0":"","3":"k","6":"M","9":"G","12":"T"};
const RATIOS=["1","V/V","A/A",""],LINEAR=["dB","°","°C","K","dec","%"];
const PREFIXED=/^(Ω|S|F|H|V|A|s|Hz|W|J|C|eV|V\/√Hz|A\/√Hz)(?![\^²³⁻\w])/;
const raised=n=>String(n).replace(/[-0-9]/g,c=>"⁻⁰¹²³⁴⁵⁶⁷⁸⁹"["-0123456789".indexOf(c)]);
const grouped=(t,fromRight)=>{
  if(t.length<=4)return t;
  const first=fromRight?t.length%3:0,parts=first?[t.slice(0,first)]:[];
  for(let k=first;k<t.length;k+=3)parts.push(t.slice(k,k+3));
  return parts.join("\u2009");
};
// What was rounded to digits already, with so many decimals.
const spread=(t)=>{const [whole,part]=t.split(".");return grouped(whole,true)+(part?"."+grouped(part,false):"");};
const plainly=(exponential)=>{
  const [m,p]=exponential.split("e"),digits=m.replace(".",""),power=Number(p);
  if(power>=digits.length-1)return digits.padEnd(power+1,"0");
  return power<0?"0."+"0".repeat(-power-1)+digits:digits.slice(0,power+1)+"."+digits.slice(power+1);
};
const engineering=(value,unit,digits,trim)=>{
  const name=RATIOS.includes(unit)?"":unit,minus=value<0?"−":"",v=Math.abs(value);
  const joined=(mantissa,prefix,exponent)=>{
    if(trim&&mantissa.includes("."))mantissa=mantissa.replace(/[0\u2009]+$/,"").replace(/\.$/,"");
    const u=(prefix+name).replace(/\^(-?[0-9]+)/g,(_,n)=>raised(n));
    return minus+mantissa+(exponent?" × 10"+raised(exponent):"")+(u===""||u==="°"?"":" ")+u;
  };
  if(!isFinite(v))return joined("∞","",0);
  if(unit==="dB"||unit==="°"){
    const whole=v===0?1:Math.floor(Math.log10(v))+1,decimals=Math.max(0,Math.min(2,digits-whole));
    return joined(spread(v.toFixed(decimals)),"",0);
  }
  if(v===0)return joined("0","",0);
  const e=v.toExponential(digits-1),power=Number(e.split("e")[1]);
  const prefixed=!RATIOS.includes(unit)&&!LINEAR.includes(unit)&&PREFIXED.test(unit);
  if(!prefixed&&power>=-3&&power<(unit==="%"?9:6))return joined(spread(plainly(e)),"",0);
  let step=3*Math.floor(power/3),prefix="",exponent=0;
  if(prefixed){if(step in PREFIXES)prefix=PREFIXES[step];else exponent=step;}
  else{if(power<-6&&(RATIOS.includes(unit)||unit==="%"))step=power;exponent=step;}
  return joined(spread(plainly(e.split("e")[0]+"e"+(power-step))),prefix,exponent);
};
const printed=(u,unit,digits,style)=>{
  let text;
  if(style==="stated"||(style==="plain"&&u[1]===0))text=engineering(u[0],unit,digits,style==="stated");
  else{
    let m=size(u),phase=Math.atan2(u[1],u[0])*180/Math.PI;
    if(u[1]===0||!isFinite(m)){m=u[1]===0?u[0]:Infinity;phase=0;}
    else if(Math.abs(phase)<0.005)phase=0;
    else if(180-Math.abs(phase)<0.05){m=-m;phase=0;}
    text=engineering(m,unit,digits,false);
    if(phase)text+=" ∠ "+(phase<0?"−":"")+Math.abs(phase).toFixed(Math.abs(phase)<0.995?2:1)+"°";
  }
  return text.replace(" ∠ ","\v").replaceAll(" ","\u202f").replace("\v"," ∠\u202f");
};
// Curves: sampled anew on the axes that are there.
const along=(axis,v)=>{
  const t=axis.log?Math.log(v/axis.low)/Math.log(axis.high/axis.low):(v-axis.low)/(axis.high-axis.low);
  return axis.start+Math.min(Math.max(t,-2),3)*(axis.end-axis.start);
};
const POINTS=500;
const sample=(place,x,axis)=>{
  const found=[],both=sides(place,x);
  let before=0,turns=0;
  for(let k=0;k<=POINTS;k++){
    const f=axis.low*(axis.high/axis.low)**(k/POINTS),u=respond(both,2*Math.PI*f),m=size(u);
    if(!(m>0&&isFinite(m)))continue;
    let phase=Math.atan2(u[1],u[0])*180/Math.PI;
    if(found.length){while(phase+turns-before>180)turns-=360;while(phase+turns-before<-180)turns+=360;}
    else if(phase<-179.99)turns=360;
    before=phase+turns;
    found.push([f,m,before]);
  }
  return found;
};
const nearest=(points,f)=>points.reduce((a,b)=>Math.abs(Math.log(b[0]/f))<Math.abs(Math.log(a[0]/f))?b:a);
if(typeof document!=="undefined")(()=>{
  const form=document.querySelector("form.sliders");
  if(!form)return;
  form.hidden=false;
  const inputs=[...form.querySelectorAll("input")],outputs=[...form.querySelectorAll("output")],reset=form.querySelector("button");
  const spans=new Map([...document.querySelectorAll(".n[data-n]")].map(e=>[Number(e.dataset.n),e]));
  const first=new Map([...spans].map(([n,e])=>[n,e.textContent]));
  model.kept.forEach(n=>spans.get(n)?.classList.add("kept"));
  document.querySelectorAll("svg .strip").forEach(e=>e.classList.add("kept"));
  const shapes=model.figures.flatMap(figure=>["wide","slim"].map(width=>({...figure,shape:figure[width],svg:document.querySelector(`svg.${width}[data-plot="${figure.name}"]`)}))).filter(f=>f.shape&&f.shape.x);
  const drawn=shapes.map(({svg})=>[...svg.querySelectorAll("[data-curve],[data-ring]")].map(e=>[e,e.getAttribute("d"),e.getAttribute("cy")]));
  const draw=x=>shapes.forEach(({shape,curves,svg})=>{
    const exact=sample(curves[0],x,shape.x);
    if(exact.length<2)return;
    const other=curves[1]===null?null:sample(curves[1],x,shape.x);
    const turns=other&&other.length?360*Math.round((nearest(exact,F)[2]-nearest(other,F)[2])/360):0;
    for(const [name,points,more] of [["exact",exact,0],["approximate",other,turns]]){
      if(!points)continue;
      for(const kind of ["m","p"]){
        const path=svg.querySelector(`[data-curve="${kind}-${name}"]`);
        if(!path)continue;
        const value=p=>kind==="p"?p[2]+more:shape.decibels?20*Math.log10(p[1]):p[1];
        path.setAttribute("d","M"+points.map(p=>along(shape.x,p[0]).toFixed(1)+" "+along(shape[kind],value(p)).toFixed(1)).join("L"));
        const ring=name==="exact"&&svg.querySelector(`[data-ring="${kind}"]`);
        if(ring)ring.setAttribute("cy",along(shape[kind],value(nearest(points,F))).toFixed(1));
      }
    }
  });
  const place=()=>model.values.map((v,k)=>Number(inputs[k].value)===0?v:v*10**Number(inputs[k].value));
  const show=()=>{
    const x=place(),moved=inputs.some(input=>Number(input.value)!==0);
    document.body.classList.toggle("varied",moved);
    reset.disabled=!moved;
    outputs.forEach((output,k)=>{const t=printed([x[k],0],model.units[k],4,"plain");output.textContent=t;inputs[k].setAttribute("aria-valuetext",t);});
    const values=moved?evaluate(x):null;
    model.marked.forEach(([n,,unit,digits,style],k)=>{
      const span=spans.get(n);
      if(!span)return;
      const text=moved?printed(values[k],unit,digits,style):first.get(n);
      span.textContent=text;
      span.classList.toggle("moved",moved&&text!==first.get(n));
    });
    if(moved)draw(x);
    else drawn.flat().forEach(([e,d,cy])=>{if(d!==null)e.setAttribute("d",d);if(cy!==null)e.setAttribute("cy",cy);});
  };
  let waiting=false;
  form.addEventListener("input",()=>{if(!waiting){waiting=true;requestAnimationFrame(()=>{waiting=false;show();});}});
  form.addEventListener("submit",event=>event.preventDefault());
  form.addEventListener("reset",()=>setTimeout(show));
  form.reset();
})();
