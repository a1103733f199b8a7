"""Fine-tunes the wax map on patches cut from generated rubbings with exact truth, mixed with patches of synth.py.

    fine-tune.py SECONDS OUT.pkl LEARNING_RATE START.pkl DENSITY_FOLDER PATCH_FOLDER

DENSITY_FOLDER comes from write-density.mjs, PATCH_FOLDER from patches.py. Each patch is turned, scaled, weakened,
spotted, scribbled on and made noisy; targets are drawn from the true lines: face covered, exp(-(d / 0.9 mm)^2), outside.
"""
import glob,json,os,pickle,queue,sys,threading,time
import cv2,numpy as np,jax,jax.numpy as jnp,optax
from train import net
cv2.setNumThreads(1)
T=float(sys.argv[1]); out=sys.argv[2]; lr0=float(sys.argv[3]); P=pickle.load(open(sys.argv[4],'rb')); DENSITY=sys.argv[5]; PATCHES=sys.argv[6]
N=512; B=6
rng=np.random.default_rng(11)
CASES={}
def load():
    for j in sorted(glob.glob(DENSITY+'/*.json')):
        k=os.path.basename(j)[:-5]
        if k in CASES: continue
        try: m=json.load(open(j)); d=np.fromfile(j[:-5]+'.raw',np.uint8).reshape(m['height'],m['width'])
        except Exception: continue
        for l in m['leads']:
            l['px']=(np.array(l['line'],float)-m['originMm'])*m['pxPerMm']
            l['seen']=np.array(l['seen'] if l.get('seen') else [1])
        CASES[k]=(d,m)
def smooth(n,cells,lo,hi): return cv2.resize(rng.uniform(lo,hi,(cells,cells)).astype(np.float32),(n,n),interpolation=cv2.INTER_CUBIC)
def patch():
    keys=list(CASES); real=[k for k in keys if k.startswith('rubbing_')]; syn=[k for k in keys if not k.startswith('rubbing_')]
    k=real[rng.integers(len(real))] if real and rng.random()<0.25 else syn[rng.integers(len(syn))]
    d,m=CASES[k]; n=N
    ang=rng.uniform(0,2*np.pi) if rng.random()<0.5 else rng.integers(4)*np.pi/2+rng.normal()*0.02
    sc=np.exp(rng.uniform(-0.16,0.2)); fl=rng.choice([-1,1])
    c,s=np.cos(ang)*sc,np.sin(ang)*sc
    A=np.array([[c,-s],[s,c]])@np.diag([fl,1])
    cx,cy=rng.uniform(60,m['width']-60),rng.uniform(60,m['height']-60)
    t=np.array([n/2,n/2])-A@np.array([cx,cy])
    x=cv2.warpAffine(d,np.c_[A,t].astype(np.float64),(n,n),flags=cv2.INTER_AREA if sc<1 else cv2.INTER_LINEAR,borderMode=cv2.BORDER_CONSTANT).astype(np.float32)/255
    F=np.zeros((n,n),np.uint8); U=np.zeros((n,n),np.uint8); C=np.full((n,n),255,np.uint8)
    for l in m['leads']:
        q=l['px']@A.T+t
        if q[:,0].max()<-80 or q[:,1].max()<-80 or q[:,0].min()>n+80 or q[:,1].min()>n+80: continue
        qi=np.round(q*16).astype(np.int32).reshape(-1,1,2); w=l['width']*m['pxPerMm']*sc
        cv2.polylines(F,[qi],False,255,max(1,int(round(w))),cv2.LINE_AA,4)
        cv2.polylines(C,[qi],False,0,1,cv2.LINE_8,4)
        se=l['seen']
        if not se.all():
            L=np.r_[0,np.cumsum(np.hypot(*np.diff(q,axis=0).T))]; ss=np.linspace(0,L[-1],len(se))
            for i in np.nonzero(se==0)[0]:
                p=(np.interp(ss[i],L,q[:,0]),np.interp(ss[i],L,q[:,1])); cv2.circle(U,(int(p[0]),int(p[1])),int(w*0.8+3),255,-1)
    O=None
    if m.get('outline') is not None:
        q=(np.array(m['outline'],float)-m['originMm'])*m['pxPerMm']@A.T+t
        O=np.full((n,n),255,np.uint8); cv2.fillPoly(O,[np.round(q*16).astype(np.int32).reshape(-1,1,2)],0,cv2.LINE_AA,4)
    if rng.random()<0.6: x=x*np.clip(smooth(n,rng.integers(3,6),0.35,1.3),0.1,1.5)
    if rng.random()<0.5:
        yy,xx=np.ogrid[:n,:n]
        for _ in range(rng.integers(1,5)):
            px,py=rng.uniform(0,n,2); r=rng.uniform(2.5,8)*4; e=rng.uniform(0.6,1.6)
            x=x*(1-rng.uniform(0.6,1)*np.exp(-(((xx-px)/r)**2+((yy-py)/(r*e))**2)**2)).astype(np.float32)
    if rng.random()<0.4:
        for _ in range(rng.integers(1,4)):
            a=rng.uniform(0,n,2); pts=[a]
            for _ in range(rng.integers(1,5)): a=a+rng.normal(size=2)*rng.choice([12,40,120]); pts.append(a)
            L=np.zeros((n,n),np.uint8); cv2.polylines(L,[np.round(np.array(pts)).astype(np.int32).reshape(-1,1,2)],False,255,int(rng.integers(1,4)),cv2.LINE_AA)
            x=np.maximum(x,cv2.GaussianBlur(L,(0,0),0.8).astype(np.float32)/255*rng.uniform(0.1,0.5))
    if rng.random()<0.3: x=x+smooth(n,rng.integers(3,9),-0.08,0.08)
    if rng.random()<0.3: x=cv2.GaussianBlur(x,(0,0),rng.uniform(0.5,1.3))
    if rng.random()<0.5: x=x+rng.normal(size=x.shape).astype(np.float32)*rng.uniform(0.01,0.09)
    x=np.clip(x*np.exp(rng.uniform(-0.35,0.25)),0,1)
    sh=lambda a: cv2.resize(a,(n//2,n//2),interpolation=cv2.INTER_AREA).astype(np.float32)
    dist=cv2.distanceTransform(C,cv2.DIST_L2,5)/(m['pxPerMm']*sc)
    y=np.stack([sh(F)/255,sh(np.exp(-(dist/0.9)**2)),np.zeros((n//2,n//2),np.float32) if O is None else sh(O)/255],-1)
    f=y[...,0]; u=sh(U)/255
    glass=(f<0.5).astype(np.uint8)
    op=cv2.morphologyEx(glass,cv2.MORPH_OPEN,cv2.getStructuringElement(cv2.MORPH_ELLIPSE,(17,17)))
    w=(1+4.0*((glass>0)&(op==0))+0.5*(f>0.5))*np.where(u>0.3,0.35,1)
    w=np.stack([w,w,np.full_like(w,0 if O is None else 1)],-1).astype(np.float32)
    return x.astype(np.float32),y,w
SYN=sorted(glob.glob(PATCHES+'/[0-9]*.npz'))
def synth():
    z=np.load(SYN[rng.integers(len(SYN))]); d,y=z['d'].astype(np.float32),z['y'].astype(np.float32)/255
    k=rng.integers(4); d=np.rot90(d,k); y=np.rot90(y,k)
    if rng.random()<.5: d=d[:,::-1]; y=y[:,::-1]
    return np.ascontiguousarray(np.clip(d*rng.uniform(.75,1.25),0,1)),np.ascontiguousarray(y),np.ones_like(y)
Q=queue.Queue(24)
def feeder():
    while True: Q.put(synth() if SYN and rng.random()<0.2 else patch())
load(); print(len(CASES),'cases',len(SYN),'synth',flush=True)
threading.Thread(target=feeder,daemon=True).start()
W=jnp.array([1.,2.,.5])
def loss(P,x,y,w): return (optax.sigmoid_binary_cross_entropy(net(P,x),y)*W*w).mean((0,1,2))
opt=optax.inject_hyperparams(optax.adam)(learning_rate=lr0); st=opt.init(P)
@jax.jit
def step(P,st,x,y,w):
    (l,p),g=jax.value_and_grad(lambda P:(lambda v:(v.sum(),v))(loss(P,x,y,w)),has_aux=True)(P)
    g=jax.tree.map(lambda a:jnp.clip(a,-1,1),g); u,st=opt.update(g,st,P); return optax.apply_updates(P,u),st,p
t0=time.time(); n=0; ls=[]
while time.time()-t0<T:
    b=[Q.get() for _ in range(B)]; X,Y,Wt=[np.stack(a) for a in zip(*b)]
    f=(time.time()-t0)/T
    st.hyperparams['learning_rate']=jnp.asarray(lr0*min(1,n/40+.02)*(.02+.98*.5*(1+np.cos(np.pi*f))))
    P,st,p=step(P,st,X,Y,Wt); ls.append(np.asarray(p)); n+=1
    if n%25==0: print(n,round(time.time()-t0),len(CASES),np.round(np.mean(ls[-25:],0),4),flush=True)
    if n%50==0: load(); pickle.dump(jax.tree.map(np.asarray,P),open(out,'wb'))
pickle.dump(jax.tree.map(np.asarray,P),open(out,'wb')); print('done')
