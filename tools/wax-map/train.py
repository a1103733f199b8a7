import os,sys,time,glob,pickle,numpy as np,jax,jax.numpy as jnp,optax
CH=(8,16,24,32,40)
def conv(p,x): return jax.lax.conv_general_dilated(x,p['w'],(1,1),'SAME',dimension_numbers=('NHWC','HWIO','NHWC'))+p['b']
def init(rng):
    P={}
    def c(n,i,o,k=3):
        P[n]={'w':(rng.standard_normal((k,k,i,o))*np.sqrt(2/(k*k*i))).astype(np.float32),'b':np.zeros(o,np.float32)}
    i=4
    for l,o in enumerate(CH):
        c(f'e{l}a',i,o); c(f'e{l}b',o,o); i=o
    for l in range(len(CH)-2,-1,-1): c(f'd{l}',CH[l+1]+CH[l],CH[l])
    c('out',CH[0],3,1); P['out']['w']*=.1; P['out']['b'][:]=[-1,-2,-1]
    return P
def net(P,x):
    x=x.reshape(x.shape[0],x.shape[1]//2,2,x.shape[2]//2,2).transpose(0,1,3,2,4).reshape(x.shape[0],x.shape[1]//2,x.shape[2]//2,4)
    sk=[]; r=jax.nn.relu
    for l in range(len(CH)):
        x=r(conv(P[f'e{l}a'],x)); x=r(conv(P[f'e{l}b'],x)); sk.append(x)
        if l<len(CH)-1: x=jax.lax.reduce_window(x,-jnp.inf,jax.lax.max,(1,2,2,1),(1,2,2,1),'VALID')
    for l in range(len(CH)-2,-1,-1):
        x=jnp.repeat(jnp.repeat(x,2,1),2,2); x=r(conv(P[f'd{l}'],jnp.concatenate([x,sk[l]],-1)))
    return conv(P['out'],x)
W=jnp.array([1.,2.,.5])
def loss(P,x,y):
    z=net(P,x); return (optax.sigmoid_binary_cross_entropy(z,y)*W).mean()
if __name__=='__main__':
    T=float(sys.argv[1]); out=sys.argv[2]; lr0=float(sys.argv[3]) if len(sys.argv)>3 else 3e-3
    rng=np.random.default_rng(1); P=init(rng)
    if len(sys.argv)>4: P=pickle.load(open(sys.argv[4],'rb'))
    t0=time.time()
    lr=lambda frac: lr0*min(1,frac*20)*(.02+.98*.5*(1+np.cos(np.pi*min(1,frac))))
    opt=optax.inject_hyperparams(optax.adam)(learning_rate=lr0); st=opt.init(P)
    @jax.jit
    def step(P,st,x,y):
        l,g=jax.value_and_grad(loss)(P,x,y); g=jax.tree.map(lambda a:jnp.clip(a,-1,1),g); u,st=opt.update(g,st,P); return optax.apply_updates(P,u),st,l
    cache={}; n=0; ls=[]
    def load(f):
        if f not in cache:
            z=np.load(f); cache[f]=(z['d'],z['y'])
        return cache[f]
    while time.time()-t0<T:
        if n%20==0: files=[f for f in glob.glob('data/[0-9]*.npz') if int(f[5:-4])>=32]
        X=[];Y=[]
        for f in rng.choice(files,8):
            d,y=load(f); k=rng.integers(4); d=np.rot90(d,k); y=np.rot90(y,k)
            if rng.random()<.5: d=d[:,::-1]; y=y[:,::-1]
            d=d.astype(np.float32)*rng.uniform(.75,1.25); X.append(d); Y.append(y.astype(np.float32)/255)
        st.hyperparams['learning_rate']=jnp.asarray(lr((time.time()-t0)/T))
        P,st,l=step(P,st,np.stack(X),np.stack(Y)); ls.append(float(l)); n+=1
        if n%50==0:
            vf=[f'data/{i}.npz' for i in range(32) if os.path.exists(f'data/{i}.npz')][:16]
            v=np.mean([float(loss(P,load(f)[0][None].astype(np.float32),load(f)[1][None].astype(np.float32)/255)) for f in vf]) if n%200==0 and vf else float('nan')
            print(n,round(time.time()-t0),len(files),'train',round(np.mean(ls[-50:]),4),'val',round(v,4),flush=True)
            pickle.dump(jax.tree.map(np.asarray,P),open(out,'wb'))
    pickle.dump(jax.tree.map(np.asarray,P),open(out,'wb'))
