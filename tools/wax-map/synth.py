"""Random patches of wax rubbings with exact truth, for training the wax map. 4 px/mm image, 2 px/mm targets."""
import numpy as np
from scipy import ndimage as ni
PX=4.0; SIZE=512   # 128 mm
def smooth(rng,s,shape=(SIZE,SIZE),aniso=None):
    f=max(1,int(s/3)); 
    small=(shape[0]//f+4,shape[1]//f+4)
    n=rng.standard_normal(small)
    n=ni.gaussian_filter(n,s/f)
    n=ni.zoom(n,(shape[0]/small[0],shape[1]/small[1]),order=1)[:shape[0],:shape[1]]
    n=np.pad(n,((0,shape[0]-n.shape[0]),(0,shape[1]-n.shape[1])),mode='edge')
    return (n-n.mean())/(n.std()+1e-9)
def bsp(rng,x0,y0,x1,y1,mn,out,depth=0):
    w,h=x1-x0,y1-y0
    if depth>6 or (max(w,h)<2.2*mn) or (depth>1 and rng.random()<.15): out.append((x0,y0,x1,y1)); return
    if w>h: 
        c=x0+w*rng.uniform(.3,.7)
        if min(c-x0,x1-c)<mn: out.append((x0,y0,x1,y1)); return
        bsp(rng,x0,y0,c,y1,mn,out,depth+1); bsp(rng,c,y0,x1,y1,mn,out,depth+1)
    else:
        c=y0+h*rng.uniform(.3,.7)
        if min(c-y0,y1-c)<mn: out.append((x0,y0,x1,y1)); return
        bsp(rng,x0,y0,x1,c,mn,out,depth+1); bsp(rng,x0,c,x1,y1,mn,out,depth+1)
def design(rng,X,Y):
    k=rng.integers(0,6)
    if k==0: # voronoi
        sp=rng.uniform(14,45); n=int((180/sp)**2)+3
        P=rng.uniform(-20,150,(n,2))
        for _ in range(rng.integers(0,3)):
            pass
        from scipy.spatial import cKDTree
        t=cKDTree(P); q=np.c_[X.ravel(),Y.ravel()]
        if rng.random()<.5: # anisotropic
            a=rng.uniform(.5,1); q=q*[1,a]; t=cKDTree(P*[1,a])
        return t.query(q)[1].reshape(X.shape).astype(np.int64)
    if k==1: # lozenge
        a=rng.uniform(20,70); b=a*rng.uniform(.6,1.8); th=rng.uniform(-.1,.1)
        x=X*np.cos(th)-Y*np.sin(th); y=X*np.sin(th)+Y*np.cos(th)
        u=np.floor(x/a+y/b+rng.random()); v=np.floor(x/a-y/b+rng.random())
        return (u*1000+v).astype(np.int64)
    if k==2: # rectangles
        out=[]; bsp(rng,-30,-30,160,160,rng.uniform(12,30),out)
        L=np.zeros(X.shape,np.int64)
        for i,(x0,y0,x1,y1) in enumerate(out): L[(X>=x0)&(X<x1)&(Y>=y0)&(Y<y1)]=i
        return L
    if k==3: # circles and rays
        cx,cy=rng.uniform(-10,140,2); r=np.hypot(X-cx,Y-cy); th=np.arctan2(Y-cy,X-cx)
        rs=np.cumsum(rng.uniform(12,45,8)); ring=np.searchsorted(rs,r.ravel()).reshape(r.shape)
        L=np.zeros(X.shape,np.int64)
        for j in range(9):
            m=ring==j; n=int(rng.integers(1,5)*max(1,j)); 
            if j==0 and rng.random()<.6: n=1
            off=rng.random()*2*np.pi
            L[m]=j*1000+np.floor(((th[m]+off)%(2*np.pi))/(2*np.pi)*n)
        return L
    if k==4: # long bands / drapery, wavy
        th=rng.uniform(0,np.pi); u=X*np.cos(th)+Y*np.sin(th)+smooth(rng,rng.uniform(40,120))*rng.uniform(2,14); v=-X*np.sin(th)+Y*np.cos(th)
        w=rng.uniform(13,35); a=np.floor(u/w); rr=np.random.default_rng(rng.integers(1<<30)); off=rr.uniform(0,100,400); ln=rr.uniform(20,90,400)
        b=np.floor((v+off[(a.astype(int))%400])/ln[(a.astype(int))%400])
        return (a*1000+b).astype(np.int64)
    th=rng.uniform(0,np.pi/2); x=X*np.cos(th)-Y*np.sin(th); y=X*np.sin(th)+Y*np.cos(th)
    a,b=rng.uniform(18,60,2); i=np.floor(x/a); 
    return (i*1000+np.floor(y/b+ (.5*(i%2) if rng.random()<.5 else 0))).astype(np.int64)
def uniq(L): 
    return np.unique(L,return_inverse=True)[1].reshape(L.shape)
def edge_dist_classes(L,rng,widths,probs):
    """per class distance to boundaries"""
    A=[];  h,w=L.shape
    cls={}
    dists=[np.full(L.shape,1e3) for _ in widths]
    masks=[np.zeros(L.shape,bool) for _ in widths]
    for dy,dx in ((0,1),(1,0)):
        p=L[:h-dy,:w-dx]; q=L[dy:,dx:]; m=p!=q
        yy,xx=np.nonzero(m); a=np.minimum(p[m],q[m]).astype(np.int64); b=np.maximum(p[m],q[m]).astype(np.int64)
        key=a*1000003+b
        hsh=((key*2654435761)%1000003)/1000003.0
        c=np.searchsorted(np.cumsum(probs),hsh); c=np.clip(c,0,len(widths)-1)
        for k in range(len(widths)): masks[k][yy[c==k],xx[c==k]]=True
    for k in range(len(widths)):
        if masks[k].any(): dists[k]=np.maximum(0,ni.distance_transform_edt(~masks[k])-.5*0)/PX
    return dists
def patch(seed):
    rng=np.random.default_rng(seed)
    yy,xx=np.mgrid[0:SIZE,0:SIZE]; X=(xx+.5)/PX; Y=(yy+.5)/PX
    th=rng.uniform(0,2*np.pi) if rng.random()<.3 else rng.normal(0,.02)+ (np.pi/2)*rng.integers(0,4)
    wob=rng.uniform(0,.8)
    Xr=(X-64)*np.cos(th)-(Y-64)*np.sin(th)+64+smooth(rng,60)*wob; Yr=(X-64)*np.sin(th)+(Y-64)*np.cos(th)+64+smooth(rng,60)*wob
    if rng.random()<.3: # stronger bends
        Xr+=smooth(rng,130)*rng.uniform(1,5); Yr+=smooth(rng,130)*rng.uniform(1,5)
    L=uniq(design(rng,Xr,Yr))
    r=rng.random()
    if r<.35: # overlay of second design inside a region
        M=uniq(design(rng,Xr,Yr)); L2=uniq(design(rng,Xr,Yr)); reg=(M%3==0); L=uniq(np.where(reg,L2+10000,L))
    elif r<.55: # circle line over all
        cx,cy=rng.uniform(0,128,2); rad=rng.uniform(20,80); L=uniq(L*2+(np.hypot(Xr-cx,Yr-cy)<rad))
    elif r<.65:
        a=rng.uniform(0,np.pi); L=uniq(L*2+((Xr-64)*np.cos(a)+(Yr-64)*np.sin(a)>rng.uniform(-30,30)))
    # mending leads: split some cells
    for _ in range(rng.integers(0,3)):
        lab=L[rng.integers(SIZE),rng.integers(SIZE)]; m=L==lab; cy,cx=ni.center_of_mass(m); a=rng.uniform(0,np.pi)
        L=np.where(m&((xx-cx)*np.cos(a)+(yy-cy)*np.sin(a)+smooth(rng,40)*3>0),L.max()+1,L)
    # drop tiny cells: merge into neighbour by median
    cc=np.zeros(L.shape,np.int64); n=0
    ids,inv=np.unique(L,return_inverse=True); inv=inv.reshape(L.shape)
    sl=ni.find_objects(inv+1)
    for i,s in enumerate(sl):
        if s is None: continue
        l,k=ni.label(inv[s]==i); cc[s]+=np.where(l>0,l+n,0); n+=k
    L=cc
    main=rng.choice([4,4.5,5,5,6,6,7,8]); wide=main+rng.choice([2,3,4,5]); third=rng.choice([4,5,6,8,10,12])
    widths=[float(main),float(wide),float(third)]; probs=rng.choice([0,1,2],p=[.5,.35,.15]); probs=[[1,0,0],[.75,.25,0],[.7,.2,.1]][probs]
    # tiny cells (not enough sight): merge
    for it in range(3):
        area=np.bincount(L.ravel()); dt=ni.distance_transform_edt(ni.maximum_filter(L,3)==ni.minimum_filter(L,3))
        mx=ni.maximum(dt,L,np.arange(len(area))); bad=np.flatnonzero((np.array(mx)/PX<main/2+rng.uniform(1.3,2.5))&(area>0))
        if len(bad)==0: break
        isb=np.isin(L,bad); idx=ni.distance_transform_edt(isb,return_distances=False,return_indices=True)
        if isb.all(): break
        L=L[idx[0],idx[1]]
    # outside of panel
    outside=np.zeros(L.shape,bool)
    if rng.random()<.45:
        kind=rng.integers(0,3)
        if kind==0: outside=Xr<rng.uniform(5,70)
        elif kind==1: outside=(Xr<rng.uniform(5,60))|(Yr<rng.uniform(5,60))
        else:
            cx,cy=rng.uniform(20,110,2); rad=rng.uniform(60,160); s=rng.uniform(0,2*np.pi); outside=np.hypot(Xr-(cx+rad*np.cos(s)),Yr-(cy+rad*np.sin(s)))>rad
        outw=float(rng.choice([8,10,12,12,main,wide]))
    lab=np.where(outside,-1,L)
    D=edge_dist_classes(np.where(outside,0,L+1),rng,widths,probs)
    # boundary towards outside gets outw
    if outside.any() and not outside.all():
        ob=ni.binary_dilation(outside)&~outside; do=ni.distance_transform_edt(~ob)/PX
        # outer came lies inside the panel, centre at outw/2
        dout=np.abs(np.where(outside,-ni.distance_transform_edt(outside)/PX,do)-outw/2)
        inn=~outside
    band=np.full(L.shape,1e3); cl=np.full(L.shape,1e3); hw=np.zeros(L.shape)
    for d,w in zip(D,widths):
        if outside.any():
            pass
        b=d-w/2; hw=np.where(b<band,w/2,hw); band=np.minimum(band,b); cl=np.minimum(cl,d)
    if outside.any() and not outside.all():
        # remove inner edges drawn along the outside boundary, then put the outer came
        near=do<max(widths)/2+1
        E=edge_dist_classes(ni.grey_erosion(L,1) if False else L,rng,widths,probs)
        band=np.full(L.shape,1e3); cl=np.full(L.shape,1e3)
        for d,w in zip(E,widths):
            band=np.minimum(band,d-w/2); cl=np.minimum(cl,d)
        band=np.where(outside,1e3,band); cl=np.where(outside|(do<outw/2),1e3,cl)
        # distance field of inner leads clipped at the boundary is fine
        band=np.minimum(band,dout-outw/2); cl=np.minimum(cl,dout); 
        # outside is beyond: distance positive
    came=band<0
    # ------------------------------------------------ wax
    q=rng.random() # quality 0 good .. 1 poor
    press=np.clip(rng.uniform(.6,1.05)-.35*q+smooth(rng,rng.uniform(40,160))*rng.uniform(.05,.22),.08,1.2)
    # gaps
    for _ in range(rng.poisson(1.0+2.5*q)):
        cx,cy=rng.uniform(0,128,2); a,b=rng.uniform(3,12,2); t=rng.uniform(0,np.pi)
        u=(X-cx)*np.cos(t)+(Y-cy)*np.sin(t); v=-(X-cx)*np.sin(t)+(Y-cy)*np.cos(t)
        press*=1-rng.uniform(.6,1)*np.exp(-((u/a)**2+(v/b)**2)**rng.uniform(1,3))
    hd=rng.uniform(0,np.pi); 
    def streak(lo,la):
        n=rng.standard_normal((SIZE//2,SIZE//2)); n=ni.gaussian_filter(n,(la*PX/2,lo*PX/2)); n=ni.rotate(np.pad(n,SIZE//4,mode='wrap'),np.degrees(hd),reshape=False,order=1,mode='wrap'); c=SIZE//4; n=n[c:c+SIZE//2,c:c+SIZE//2]; n=ni.zoom(n,2,order=1); return (n-n.mean())/(n.std()+1e-9)
    hatch=streak(rng.uniform(6,20),rng.uniform(.6,2)); 
    press*=np.clip(1+hatch*rng.uniform(0,.25),.2,1.6)
    rim=np.exp(-(np.clip(-band,0,None)/rng.uniform(.35,.9))**2)
    hollow=np.clip(rng.uniform(-.4,.9)+smooth(rng,rng.uniform(20,80))*.35,0,.95)*np.clip(-band/1.2,0,1)
    if rng.random()<.3: hollow*=np.clip((hw-2)/3,0.2,1)
    cam=press*(1-hollow*(1-rim))*(1+rng.uniform(0,.5)*rim)
    h0=rng.uniform(.8,2.5); h1=h0+rng.uniform(1,6); contact=np.clip((band-h0)/(h1-h0),0,1)
    gs=np.clip(rng.uniform(-.2,.45)+.25*hatch*rng.uniform(0,1.2)+smooth(rng,60)*.15,0,.8)
    gl=contact*gs*press+rng.uniform(0,.12)
    soft=rng.uniform(.08,.3); a=np.clip(.5-band/soft/2,0,1)
    P=a*cam+(1-a)*gl
    # paper tooth: fine noise threshold
    g=ni.gaussian_filter(rng.standard_normal(L.shape),rng.uniform(.5,1.3)); g/=g.std(); g=.75*g+.35*smooth(rng,6)
    k=rng.uniform(1.2,3.2); ink=1/(1+np.exp(-((P-.5)*k*1.9+g*rng.uniform(.7,1.3))*rng.uniform(1.8,4)))
    bg=1/(1+np.exp(-((0-.5)*k*1.9)*2)); ink=np.clip(ink,0,1)*np.clip(.25+P*1.4,0,1)
    if rng.random()<.4*q+.1: # smear
        s=rng.uniform(1,5); ink=np.maximum(ink,.8*ni.gaussian_filter(ink,(s*.4,s))) if rng.random()<.5 else ink*.7+.3*ni.gaussian_filter(ink,s)
    dark=rng.uniform(.55,.95)
    I=1-dark*ink
    # pencil, folds, stains, tape, shadow
    for _ in range(rng.integers(0,5)):
        n=rng.integers(2,8); p=np.cumsum(np.r_[rng.uniform(0,128,(1,2)),rng.normal(0,rng.uniform(3,25),(n,2))],0)
        dist=np.full(L.shape,1e3)
        for (ax,ay),(bx,by) in zip(p[:-1],p[1:]):
            vx,vy=bx-ax,by-ay; t=np.clip(((X-ax)*vx+(Y-ay)*vy)/(vx*vx+vy*vy+1e-9),0,1); dist=np.minimum(dist,np.hypot(X-ax-t*vx,Y-ay-t*vy))
        I*=1-rng.uniform(.15,.6)*np.clip(1-(dist/rng.uniform(.25,.6))**2,0,1)*(rng.random(L.shape)*.5+.5)
    for _ in range(rng.integers(0,3)):
        t=rng.uniform(0,np.pi) if rng.random()<.5 else 0 if rng.random()<.5 else np.pi/2; d=(X-rng.uniform(0,128))*np.cos(t)+(Y-rng.uniform(0,128))*np.sin(t); s=rng.uniform(.3,1.5); am=rng.uniform(-.25,.25)
        I*=1+am*np.exp(-(d/s)**2)+am*.4*np.tanh(d/4)*np.exp(-(d/15)**2)
    I*=1+.5*rng.uniform(0,.25)*smooth(rng,rng.uniform(60,200))
    if rng.random()<.3:
        t=rng.uniform(0,2*np.pi); d=(X-rng.uniform(0,128))*np.cos(t)+(Y-rng.uniform(0,128))*np.sin(t); I*=1-rng.uniform(.1,.5)/(1+np.exp(-d/rng.uniform(.5,10)))
    if rng.random()<.3: I*=1-rng.uniform(.05,.2)*(smooth(rng,rng.uniform(20,60))>rng.uniform(.8,2))
    I=ni.gaussian_filter(I,PX*rng.uniform(.05,.35+.25*q)); I+=rng.normal(0,rng.uniform(.005,.05),L.shape)
    I=np.clip(I*rng.uniform(.5,1),0,1.2)
    if rng.random()<.5: # camera resolution lower than 4px/mm
        f=rng.uniform(.55,1); s=ni.zoom(I,f,order=1); I=ni.zoom(s,(SIZE/s.shape[0],SIZE/s.shape[1]),order=1)[:SIZE,:SIZE]
    Dn=density(I)
    ds=lambda a: a.reshape(SIZE//2,2,SIZE//2,2).mean((1,3))
    t_came=ds(came.astype(np.float32)); t_cl=ds(np.exp(-(cl/.9)**2).astype(np.float32)); t_out=ds((outside&(band>0)).astype(np.float32))
    return Dn.astype(np.float16),np.stack([t_came,t_cl,t_out],-1).astype(np.float16)
def density(I):
    """1 - I/paper level at 4 px/mm; the same steps as in the program: block means at 1 px/mm, 80th percentile in 9 mm, closing 15 mm, blur 8 mm"""
    b=I.reshape(SIZE//4,4,SIZE//4,4).mean((1,3))
    p=ni.percentile_filter(b,80,9,mode='nearest'); p=ni.grey_closing(p,15,mode='nearest'); p=ni.gaussian_filter(p,8,mode='nearest')
    p=ni.zoom(p,4,order=1)
    return np.clip(1-I/np.maximum(p,.02),-.3,1.2)
if __name__=='__main__':
    import sys,time
    from PIL import Image
    t=time.time(); rows=[]
    for s in range(8):
        d,y=patch(s); d=d.astype(float); y=y.astype(float)
        rows.append(np.hstack([255*(1-np.clip(d,0,1)),255*np.kron(y[...,0],np.ones((2,2))),255*np.kron(y[...,1]*.8+y[...,2]*.3,np.ones((2,2)))]))
    print((time.time()-t)/8,'s per patch')
    Image.fromarray(np.vstack(rows[:4]).astype(np.uint8)).save('p1.png'); Image.fromarray(np.vstack(rows[4:]).astype(np.uint8)).save('p2.png')
